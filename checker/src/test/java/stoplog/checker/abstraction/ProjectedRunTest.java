package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Why a proof that hides things is a proof: every run of the interpreter, with the hidden variables
 * struck out, is a run of the kept system, at the same times, for whatever is kept, groups included. {@code
 * -Dseeds=N} tries N models, {@code -Dseed=S} starts at S.
 */
class ProjectedRunTest {
  private static final int TICKS = 4;
  private static final int MOVES = 40;
  private static final int KEPT_SETS = 4;

  @Test
  void everyRunIsARunOfWhatIsKept() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 1500);
    int violated = 0;
    for (long seed = first; seed < first + count; seed++) {
      violated += new Walk(RandomModel.of(seed), seed).walks();
    }
    assertTrue(violated > count / 10, "too few runs to a goal to mean much: " + violated);
  }

  /** Where the kept system may be: a state and, for each of its clocks, ticks or -1. */
  private record Place(List<Long> words, List<Long> clocks) {
    long[] state() {
      return words.stream().mapToLong(Long::longValue).toArray();
    }
  }

  private static final class Walk {
    private final Model model;
    private final Claim claim;
    private final Reads reads;
    private final Random random;
    private final String name;
    private final Interpreter interpreter;

    Walk(Model model, long seed) {
      this.model = model;
      this.claim = model.claims().getFirst();
      this.reads = new Reads(model);
      this.random = new Random(seed);
      this.name = "seed " + seed;
      this.interpreter = new Interpreter(model, claim, TICKS);
    }

    /** Number of walks that reached the claim's goal. */
    int walks() {
      int violated = 0;
      for (int i = 0; i < KEPT_SETS; i++) {
        Kept kept = anyKept().with(anyGroups());
        violated += walk(new KeptSystem(reads, claim, kept), kept) ? 1 : 0;
      }
      return violated;
    }

    /** What the claim names and a random choice of the rest. */
    private Kept anyKept() {
      BitSet named = reads.of(claim.condition());
      claim.monitors().forEach(m -> {
        named.set(m.variable());
        named.or(reads.of(m.value()));
      });
      int share = random.nextInt(5);
      for (int v = 0; v < model.variables().size(); v++) {
        if (random.nextInt(4) < share) {
          named.set(v);
        }
      }
      return new Kept(new BitSet(), false).with(named, random.nextBoolean(), reads);
    }

    /** Up to two groups of variables, hidden or not. */
    private List<Group> anyGroups() {
      var groups = new ArrayList<Group>();
      for (int i = random.nextInt(3); i > 0; i--) {
        var members = new ArrayList<Group.Member>();
        for (int v = 0; v < model.variables().size(); v++) {
          if (random.nextInt(3) == 0) {
            long domain = model.variable(v).domain();
            members.add(new Group.Member(v, random.nextLong() & domain));
          }
        }
        if (!members.isEmpty()) {
          groups.add(new Group(1 + random.nextInt(members.size()), members));
        }
      }
      return groups;
    }

    private boolean walk(KeptSystem system, Kept kept) {
      String where = name + " keeping " + kept + " ";
      State state = interpreter.start(anyStart());
      Set<Place> places = starts(system, state);
      assertFalse(places.isEmpty(), where + "at the start " + state);
      for (int i = 0; i < MOVES; i++) {
        long mayPass = Math.min(interpreter.mayPass(state), 6L * TICKS);
        List<FieldChange> enabled = interpreter.enabled(state);
        int options = enabled.size() + (interpreter.mayScan(state) ? 2 : 0);
        if (mayPass > 0 && (options == 0 || random.nextInt(3) == 0)) {
          long ticks = random.nextInt(3) == 0 ? mayPass : 1 + random.nextInt((int) mayPass);
          state = interpreter.pass(state, ticks);
          places = pass(system, places, ticks);
          where += "+" + ticks + " ";
        } else if (options > 0) {
          int option = random.nextInt(options);
          boolean scan = option >= enabled.size();
          int step = scan ? system.scanStep() : enabled.get(option).id();
          state = scan ? interpreter.scan(state) : interpreter.apply(state, enabled.get(option));
          places = step(system, places, step, state);
          where += (scan ? "scan" : step) + " ";
        } else {
          return false;
        }
        assertFalse(places.isEmpty(), where + "at " + state);
        if (interpreter.violated(state)) {
          assertTrue(places.stream().anyMatch(p -> isGoal(system, p)), where + "goal " + state);
          return true;
        }
      }
      return false;
    }

    private List<Integer> anyStart() {
      var starts = new ArrayList<List<Integer>>();
      interpreter.startValues().forEachRemaining(starts::add);
      return starts.get(random.nextInt(starts.size()));
    }
  }

  // The kept system, at explicit times

  private static boolean isGoal(KeptSystem system, Place place) {
    return system.goal(place.state())
        && place.clocks().get(system.goalClock()) > system.goalQuanta() * TICKS;
  }

  private static Set<Place> starts(KeptSystem system, State concrete) {
    var places = new LinkedHashSet<Place>();
    system.starts((step, s) -> {
      if (matches(system, s, concrete)) {
        places.add(arrived(system, null, s, -1));
      }
    });
    return places;
  }

  private static Set<Place> pass(KeptSystem system, Set<Place> places, long ticks) {
    var later = new LinkedHashSet<Place>();
    for (Place p : places) {
      if (system.urgent(p.state())) {
        continue;
      }
      var clocks = new ArrayList<Long>();
      boolean allowed = true;
      for (int c = 0; c < system.clocks(); c++) {
        long reading = p.clocks().get(c);
        clocks.add(reading < 0 ? reading : reading + ticks);
        allowed &= reading < 0 || isBefore(reading + ticks, system.limit(c));
      }
      if (allowed) {
        later.add(new Place(p.words(), clocks));
      }
    }
    return later;
  }

  private static boolean isBefore(long reading, @Nullable Bound limit) {
    return limit == null
        || reading < limit.quanta() * TICKS
        || (reading == limit.quanta() * TICKS && limit.closed());
  }

  private static boolean isAfter(long reading, Bound earliest) {
    return reading > earliest.quanta() * TICKS
        || (reading == earliest.quanta() * TICKS && earliest.closed());
  }

  /** After the same step, after one elsewhere if it is no scan, or after none. */
  private static Set<Place> step(
      KeptSystem system, Set<Place> places, int step, State concrete) {
    var after = new LinkedHashSet<Place>();
    for (Place p : places) {
      long[] from = p.state();
      if (matches(system, from, concrete)) {
        after.add(p);
      }
      system.successors(from, (taken, s) -> {
        boolean same = taken == step;
        boolean elsewhere = taken == system.elsewhereStep() && step != system.scanStep();
        if ((same || elsewhere) && mayTake(system, p, taken) && matches(system, s, concrete)) {
          after.add(arrived(system, p, s, taken));
        }
      });
    }
    return after;
  }

  private static boolean mayTake(KeptSystem system, Place place, int step) {
    FieldChange.Timing t = system.timing(step);
    if (t == null) {
      return true;
    }
    long reading = place.clocks().get(t.clock());
    return reading >= 0 && isAfter(reading, t.earliest()) && isBefore(reading, t.latest());
  }

  private static Place arrived(
      KeptSystem system, @Nullable Place before, long[] state, int step) {
    long[] words = state.clone();
    var clocks = new ArrayList<Long>();
    int[] running = system.running(words);
    for (int c = 0; c < system.clocks(); c++) {
      boolean runs = Arrays.binarySearch(running, c) >= 0;
      boolean ran = before != null && before.clocks().get(c) >= 0;
      boolean goesOn = runs && ran && system.restarts(step) != c;
      clocks.add(!runs ? -1L : goesOn && before != null ? before.clocks().get(c) : 0L);
    }
    return new Place(Arrays.stream(words).boxed().toList(), clocks);
  }

  private static int told(Group group, State concrete) {
    long count =
        group.members().stream()
            .filter(m -> (m.values() >>> concrete.value(m.variable()) & 1) == 1)
            .count();
    return count >= group.atLeast() ? 1 : 0;
  }

  private static boolean matches(KeptSystem system, long[] state, State concrete) {
    for (int v : system.stored()) {
      Group group = system.group(v);
      int value = group == null ? concrete.value(v) : told(group, concrete);
      if (system.valueIn(state, v) != value) {
        return false;
      }
    }
    return true;
  }
}
