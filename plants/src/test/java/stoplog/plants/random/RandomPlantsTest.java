package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.util.EnumMap;
import java.util.HashMap;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import net.jqwik.api.Example;
import net.jqwik.api.RandomGenerator;
import net.jqwik.api.Shrinkable;
import org.jspecify.annotations.Nullable;
import stoplog.diag.TextRenderer;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Scenario;
import stoplog.source.SourceFile;

/**
 * Random small plants on which every way to decide must agree. Plant number n is the same in every
 * run. {@code -Dstoplog.plants=N} compares N of them, {@code -Dstoplog.first=F} starts at number F,
 * {@code -Dstoplog.seconds=S} ends early after S seconds, {@code -Dstoplog.goOn} tells every
 * disagreement instead of ending at the first; {@code -Dstoplog.parts=3 -Dstoplog.states=40000} draws
 * and judges larger ones.
 */
class RandomPlantsTest {
  private static final int PLANTS = 2_000;

  /** The judge takes time in proportion. */
  private static final long MOST_STATES = Long.getLong("stoplog.states", 4_000);

  private static final int MOST_SHRINKING = 2_000;

  /** Each of these must stand in at least one in a thousand of the plants compared. */
  private static final List<String> CONSTRUCTS =
      List.of(
          "reacts within 0 s, coincident 1", "reacts within 0 s, coincident 2",
          "reacts within 1 s", "power may fail", "travel", "fails closed", "fails open",
          "fails in place", "ramp", "coast", "by hand", "comes and goes", "holds when", "level",
          "starts at", "switch", "within 2..3 s", "analyser", "of ", "> limit1", "<= limit2",
          "hold-button", "  button", "selector", "retained latch", "set wins", "cleared wins",
          "signal", "permissive", "interlock", "trip", "reset by", "tripped", "for delay",
          "for 1 s", "is proven", "is commanded", "hazard", "can", "after", "never together",
          "stays until", "always can", "tolerates", "assuming", "without power failure", "may start",
          "must start", "count", "may rise", "analog", "rises at", "moves gradually", "jumps",
          "transmitter", "dead band", "normally", "kind", "check_valve", "two_solenoids",
          "dosing_pump", "key", "bypassable", "memory", ":=", "counter", "down by", "duty",
          "alarm group", "first-out", "latched", "least", "sequence", "after 1 s", "macro", "hold when",
          "abort", "pipe", "open path", "dead_headed", "template", "2 of", "scenario", "see");

  private final Map<String, Integer> written = new HashMap<>();
  private final Map<Comparison.Kind, Integer> counts = new EnumMap<>(Comparison.Kind.class);
  private final Map<Comparison.Kind, Integer> scenarios = new EnumMap<>(Comparison.Kind.class);
  private final Map<String, Integer> lockOuts = new TreeMap<>();
  private int compared;
  private int leftUndecided;

  /** A plant and what is wrong with it. */
  private record Found(
      SmallPlant plant, String text, String claim, String problem, String verdicts) {}

  @Example
  void allWaysToDecideAgree() {
    int first = Integer.getInteger("stoplog.first", 1);
    int wanted = Integer.getInteger("stoplog.plants", PLANTS);
    long end = System.nanoTime() + Long.getLong("stoplog.seconds", 100_000) * 1_000_000_000L;
    boolean goOn = System.getProperty("stoplog.goOn") != null;
    RandomGenerator<SmallPlant> plants = SmallPlants.any(Integer.getInteger("stoplog.parts", 2)).generator(1000);
    int found = 0;
    int number = first;
    while (compared < wanted && System.nanoTime() < end) {
      Shrinkable<SmallPlant> drawn = plants.next(new Random(number * 0x9E3779B97F4A7C15L));
      Found wrong = disagreement(drawn.value(), true);
      if (wrong != null) {
        found++;
        String message = told(number, smallest(drawn, wrong));
        System.out.println(message);
        if (!goOn) {
          fail(message);
        }
      }
      number++;
    }
    int drawn = number - first;
    System.out.printf(
        "%d plants drawn, %d compared; claims: %s; always can: %s; scenarios: %s; %d left undecided by the localised search%n",
        drawn, compared, counts, lockOuts, scenarios, leftUndecided);
    assertTrue(found == 0, found + " disagreements");
    boolean usual = wanted == PLANTS && System.getProperty("stoplog.parts") == null;
    if (usual) {
      int claims = counts.values().stream().mapToInt(Integer::intValue).sum();
      assertTrue(compared >= drawn * 0.6, "too many plants are too big: " + counts);
      assertTrue(count(Comparison.Kind.REACHABLE) > claims / 5, "too few reachable: " + counts);
      assertTrue(count(Comparison.Kind.UNREACHABLE) > claims / 5, "too few unreachable: " + counts);
      for (String construct : CONSTRUCTS) {
        assertTrue(written.getOrDefault(construct, 0) > compared / 1000, "seldom: " + construct);
      }
      assertTrue(leftUndecided <= claims / 50, leftUndecided + " left undecided");
    }
  }

  private int count(Comparison.Kind kind) {
    return counts.getOrDefault(kind, 0);
  }

  private @Nullable Found disagreement(SmallPlant plant, boolean counted) {
    String text = PlantWriter.text(plant);
    Reading reading = PlantReader.read(new SourceFile("random.plant", text));
    Model model = reading.model();
    if (model == null) {
      String why = new TextRenderer(false).render(reading.diagnostics());
      return new Found(plant, text, "", "the plant is refused", why);
    }
    boolean all = true;
    for (Claim c : model.claims()) {
      if (c.kind() == Claim.Kind.ALWAYS_CAN) {
        LockOutComparison lockOut;
        try {
          lockOut = LockOutComparison.of(model, c, MOST_STATES);
        } catch (RuntimeException | AssertionError e) {
          return new Found(plant, text, c.id(), "thrown: " + e, trace(e));
        }
        if (lockOut.problem() != null) {
          return new Found(plant, text, c.id(), lockOut.problem(), lockOut.verdicts());
        }
        if (counted) {
          lockOuts.merge(lockOut.judged().getClass().getSimpleName() + (lockOut.undecided() ? ", undecided" : ""), 1, Integer::sum);
        }
        continue;
      }
      Comparison comparison;
      try {
        comparison = Comparison.of(model, c, MOST_STATES);
      } catch (RuntimeException | AssertionError e) {
        return new Found(plant, text, c.id(), "thrown: " + e, trace(e));
      }
      if (comparison.problem() != null) {
        return new Found(plant, text, c.id(), comparison.problem(), comparison.verdicts());
      }
      all &= comparison.kind() != Comparison.Kind.TOO_BIG;
      if (counted) {
        counts.merge(comparison.kind(), 1, Integer::sum);
        undecided(text, c, comparison);
      }
    }
    Found wrong = scenario(plant, text, reading, counted);
    if (wrong != null) {
      return wrong;
    }
    if (counted && all) {
      compared++;
      for (String construct : CONSTRUCTS) {
        written.merge(construct, text.contains(construct) ? 1 : 0, Integer::sum);
      }
    }
    return null;
  }

  /** The questions that a scenario of the plant puts are questions like any other. */
  private @Nullable Found scenario(
      SmallPlant plant, String text, Reading reading, boolean counted) {
    for (Scenario s : reading.scenarios()) {
      for (Claim c : s.model().claims()) {
        try {
          Comparison comparison = Comparison.of(s.model(), c, MOST_STATES);
          if (comparison.problem() != null) {
            return new Found(
                plant, text, "S-1, " + c.id(), comparison.problem(), comparison.verdicts());
          }
          if (counted) {
            scenarios.merge(comparison.kind(), 1, Integer::sum);
          }
        } catch (RuntimeException | AssertionError e) {
          return new Found(plant, text, "S-1, " + c.id(), "thrown: " + e, trace(e));
        }
      }
    }
    return null;
  }

  private void undecided(String text, Claim claim, Comparison comparison) {
    if (comparison.leftUndecided()) {
      leftUndecided++;
      if (System.getProperty("stoplog.goOn") != null) {
        System.out.println(
            "left undecided, claim " + claim.id() + "\n" + text + comparison.verdicts());
      }
    }
  }

  private static String trace(Throwable thrown) {
    var out = new StringBuilder();
    for (StackTraceElement e : thrown.getStackTrace()) {
      if (e.getClassName().startsWith("stoplog")) {
        out.append("  ").append(e).append('\n');
      }
    }
    return out.toString();
  }

  /** Shrinks as long as the same is wrong. */
  private Found smallest(Shrinkable<SmallPlant> drawn, Found wrong) {
    Found smallest = wrong;
    Shrinkable<SmallPlant> at = drawn;
    int tried = 0;
    boolean smaller = true;
    while (smaller && tried < MOST_SHRINKING) {
      smaller = false;
      Iterator<Shrinkable<SmallPlant>> next = at.shrink().iterator();
      while (!smaller && next.hasNext() && tried++ < MOST_SHRINKING) {
        Shrinkable<SmallPlant> candidate = next.next();
        Found still = disagreement(candidate.value(), false);
        if (still != null && sameKind(still, wrong)) {
          smallest = still;
          at = candidate;
          smaller = true;
        }
      }
    }
    return smallest;
  }

  private static boolean sameKind(Found one, Found other) {
    return one.problem().replaceAll("[0-9]+", "").equals(other.problem().replaceAll("[0-9]+", ""));
  }

  private static String told(int number, Found found) {
    return "plant "
        + number
        + ", claim "
        + found.claim()
        + ": "
        + found.problem()
        + "\n"
        + found.text()
        + found.verdicts();
  }
}
