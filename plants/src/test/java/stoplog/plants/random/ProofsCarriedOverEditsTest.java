package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.regex.Pattern;
import net.jqwik.api.Example;
import net.jqwik.api.RandomGenerator;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Precedent;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;
import stoplog.source.SourceFile;

/**
 * A proof carried over an edit of one line is one that a fresh search would find. {@code
 * -Dstoplog.plants=N} edits N random plants, {@code -Dstoplog.edits=N} does so many edits of each
 * shipped plant, or all with 0.
 */
class ProofsCarriedOverEditsTest {
  private static final int PLANTS = 300;
  private static final int EDITS_OF_RANDOM = 4;
  private static final Budget BUDGET = new Budget(300_000, 1L << 30, Duration.ofSeconds(60));
  private static final Pattern NUMBER = Pattern.compile("(?<![\\w.-])([0-9]+)(?![\\w-])");

  /** What an interlock or the like begins with. */
  private static final Pattern STOP = Pattern.compile("^\\s*(permissive|interlock|trip)\\b.*");

  private int carried;
  private int decidedAgain;

  @Example
  void editsOfRandomPlants() {
    RandomGenerator<SmallPlant> plants = SmallPlants.any(2).generator(1000);
    int wanted = Integer.getInteger("stoplog.plants", PLANTS);
    for (int n = 1; n <= wanted; n++) {
      var random = new Random(n * 0x9E3779B97F4A7C15L);
      String text = PlantWriter.text(plants.next(random).value());
      List<String> edits = edits(text);
      for (int e = 0; e < EDITS_OF_RANDOM && !edits.isEmpty(); e++) {
        String edited = edits.remove(random.nextInt(edits.size()));
        compare("random plant " + n, model(text), model(edited), edited);
      }
    }
    System.out.printf("%d verdicts carried, %d decided again%n", carried, decidedAgain);
    assertTrue(wanted < PLANTS || carried > 100, carried + " carried");
    assertTrue(wanted < PLANTS || decidedAgain > 100, decidedAgain + " decided again");
  }

  /** Setpoints and times changed, interlocks dropped. */
  @Example
  void editsOfShippedPlants() throws IOException {
    for (String name : List.of("thorn-reach", "fell-gate", "mill-ness")) {
      Path file = Path.of(name, name + ".plant");
      String text = Files.readString(file);
      List<String> edits = edits(text);
      int wanted = Integer.getInteger("stoplog.edits", 12);
      var random = new Random(7);
      while (wanted > 0 && edits.size() > wanted) {
        edits.remove(random.nextInt(edits.size()));
      }
      Model before = model(text);
      assertTrue(before != null, name + " stands by itself");
      verdicts.clear();
      for (String edited : edits) {
        compare(name, before, model(edited), edited);
      }
    }
    System.out.printf("%d verdicts carried, %d decided again%n", carried, decidedAgain);
    assertTrue(carried > 20, carried + " carried");
    assertTrue(decidedAgain > 5, decidedAgain + " decided again");
  }

  /** The text with one line changed: a number raised, or an interlock left out. */
  private static List<String> edits(String text) {
    var edits = new ArrayList<String>();
    String[] lines = text.split("\n", -1);
    for (int i = 0; i < lines.length; i++) {
      String line = lines[i];
      if (line.strip().startsWith("#") || line.strip().startsWith("//")) {
        continue;
      }
      var number = NUMBER.matcher(line);
      while (number.find()) {
        String raised = Integer.toString(Integer.parseInt(number.group(1)) + 1);
        String changed = line.substring(0, number.start()) + raised + line.substring(number.end());
        edits.add(with(lines, i, changed));
      }
      if (STOP.matcher(line).matches()) {
        edits.add(with(lines, i, ""));
      }
    }
    return edits;
  }

  private static String with(String[] lines, int at, String line) {
    String[] changed = lines.clone();
    changed[at] = line;
    return String.join("\n", changed);
  }

  private static @Nullable Model model(String text) {
    return PlantReader.read(new SourceFile("edited.plant", text)).model();
  }

  private final Map<String, Precedent> verdicts = new HashMap<>();
  private @Nullable Model proved;

  private void compare(String what, @Nullable Model before, @Nullable Model after, String text) {
    if (before == null || after == null) {
      return;
    }
    if (proved != before) {
      proved = before;
      verdicts.clear();
      var reads = new Reads(before);
      for (Claim c : before.claims()) {
        Precedent found =
            Precedent.of(reads, Decider.decideRecorded(reads, c, false, BUDGET, Progress.NONE));
        if (found != null) {
          verdicts.put(c.id(), found);
        }
      }
    }
    var reads = new Reads(after);
    for (Claim c : after.claims()) {
      Precedent earlier = verdicts.get(c.id());
      Verdict now = earlier == null ? null : earlier.carried(reads, c);
      if (now == null) {
        decidedAgain += earlier == null ? 0 : 1;
        continue;
      }
      carried++;
      String where = what + ", " + c.id() + " of\n" + text;
      switch (Decider.decide(reads, c, BUDGET, Progress.NONE)) {
        case Verdict.Proved fresh ->
            assertTrue(
                now instanceof Verdict.Proved p && p.longestQuanta() <= c.forQuanta()
                    && fresh.longestQuanta() <= c.forQuanta(),
                where);
        case Verdict.Reached _ ->
            assertTrue(now instanceof Verdict.Reached r && replays(after, c, r), where);
        case Verdict.Undecided u -> fail("carried but undecided, " + u.reason() + ": " + where);
      }
    }
  }

  private static boolean replays(Model model, Claim claim, Verdict.Reached reached) {
    return Replay.run(model, claim, reached.trace()) instanceof Replayed.Valid;
  }
}
