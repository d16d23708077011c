package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.CompilableSystem.Unit;
import stoplog.checker.explore.SleepSets;
import stoplog.checker.explore.TimedSystem;

/**
 * The steps of one system as hidden classes, which go some while after the system. Steps that are not plain
 * (see {@link PlainNodes}) stay as they are.
 *
 * <p>Immutable. What it hands out is what the interpreted steps hand out, in the same order.
 */
final class CompiledSteps {
  /** About how many bytes of code a node of an expression gets. */
  private static final int NODE_BYTES = 12;

  /** About how many bytes of code a method gets: the machine leaves those above 8,000 uncompiled. */
  private static final int METHOD_BYTES = 2_000;

  /** About how many bytes of code a class gets; a class file can name only so many constants. */
  private static final int CLASS_BYTES = 150_000;

  /** About how many bytes of code a system gets; further steps stay interpreted. */
  private static final int MOST_BYTES = 4_000_000;

  /** Some steps in succession: code, or the number of one that is interpreted. */
  private sealed interface Part {
    record Code(StepCode code) implements Part {}

    record Interpreted(int step) implements Part {}
  }

  private final Part[] parts;
  private final int count;
  private final @Nullable StepCode clocks;
  private final int scratchWords;
  private final @Nullable SleepSets sleepSets;

  private CompiledSteps(
      List<Part> parts,
      int count,
      @Nullable StepCode clocks,
      int scratchWords,
      @Nullable SleepSets sleepSets) {
    this.count = count;
    this.parts = parts.toArray(Part[]::new);
    this.clocks = clocks;
    this.scratchWords = scratchWords;
    this.sleepSets = sleepSets;
  }

  /** Writes and loads the classes. Time and memory are linear in the steps' expressions. */
  static CompiledSteps of(CompilableSystem system) {
    return of(system, METHOD_BYTES);
  }

  /** As above, with methods of about this size: where steps are cut makes no difference. */
  static CompiledSteps of(CompilableSystem system, int methodBytes) {
    return new Maker(system, methodBytes).make();
  }

  /** How many nodes of expressions would be compiled. */
  static int nodes(CompilableSystem system) {
    return new Maker(system, METHOD_BYTES).nodes();
  }

  /** How many steps are code. */
  int count() {
    return count;
  }

  /** Length of the scratch array that the code wants. */
  int scratchWords() {
    return scratchWords;
  }

  /** Whether {@link #running} may be asked. */
  boolean knowsClocks() {
    return clocks != null;
  }

  int running(long[] state, long[] scratch, int[] into) {
    if (clocks == null) {
      throw new IllegalStateException("the clocks' conditions are not compiled");
    }
    return clocks.running(state, scratch, into);
  }

  /** As {@link TimedSystem#sleepSets}. */
  @Nullable SleepSets sleepSets() {
    return sleepSets;
  }

  /** As {@link TimedSystem#successors(long[], long, TimedSystem.Sink)}. */
  void successors(
      long[] state,
      long[] out,
      long[] scratch,
      long asleep,
      TimedSystem.Sink sink,
      Interpreter others) {
    for (Part p : parts) {
      switch (p) {
        case Part.Code c -> c.code().steps(state, out, scratch, sink, asleep);
        case Part.Interpreted i -> others.step(i.step(), state, sink);
      }
    }
  }

  /** Takes one step of a system. */
  interface Interpreter {
    void step(int step, long[] state, TimedSystem.Sink sink);
  }

  private static final class Maker {
    private final CompilableSystem system;
    private final int methodBytes;
    private final PlainNodes plain;
    private final boolean powerIsPlain;
    private final Commuting commuting;
    private final List<Part> parts = new ArrayList<>();
    private final List<Unit> waiting = new ArrayList<>();
    private boolean clocksWait;
    private @Nullable StepCode clocks;
    private int waitingBytes;
    private int bytes;
    private int count;

    Maker(CompilableSystem system, int methodBytes) {
      this.system = system;
      this.methodBytes = methodBytes;
      this.plain = new PlainNodes(system.domains());
      this.powerIsPlain = plain.holds(system.powered());
      this.commuting = Commuting.of(system, plain);
      this.clocksWait =
          system.conditions().stream().allMatch(c -> c == null || plain.holds(c));
    }

    int nodes() {
      long nodes = 0;
      for (Unit u : system.units()) {
        nodes += isPlain(u) ? size(u) / NODE_BYTES : 0;
      }
      return (int) Math.min(nodes, MOST_BYTES / NODE_BYTES);
    }

    CompiledSteps make() {
      int mostDefined = 0;
      for (Unit u : system.units()) {
        int size = size(u);
        if (!isPlain(u) || bytes + size > MOST_BYTES) {
          load();
          parts.add(new Part.Interpreted(u.step()));
          continue;
        }
        if (waitingBytes + size > CLASS_BYTES) {
          load();
        }
        waiting.add(u);
        count++;
        waitingBytes += size;
        bytes += size;
      }
      if (clocksWait || !waiting.isEmpty()) {
        load();
      }
      for (Unit u : system.units()) {
        for (StepProgram p : programs(u)) {
          mostDefined = Math.max(mostDefined, p.defined());
        }
      }
      for (StepProgram c : system.conditions()) {
        mostDefined = Math.max(mostDefined, c == null ? 0 : c.defined());
      }
      mostDefined = Math.max(mostDefined, system.powered().defined());
      int words = system.domains().length + mostDefined;
      return new CompiledSteps(parts, count, clocks, words, commuting.sleepSets());
    }

    private void load() {
      if (waiting.isEmpty() && !clocksWait) {
        return;
      }
      StepCode code =
          LoadedCode.of(
              new StepCodeWriter(system, commuting, methodBytes).write(waiting, clocksWait));
      if (clocksWait) {
        clocks = code;
        clocksWait = false;
      }
      if (!waiting.isEmpty()) {
        parts.add(new Part.Code(code));
      }
      waiting.clear();
      waitingBytes = 0;
    }

    private static List<StepProgram> programs(Unit unit) {
      return switch (unit) {
        case Unit.Change c -> List.of(c.program());
        case Unit.Elsewhere e -> List.of(e.program());
        case Unit.Scan s ->
            s.unasked() == null ? List.of(s.program()) : List.of(s.program(), s.unasked());
      };
    }

    /** Whether nothing that the unit reads has several values. */
    private boolean isPlain(Unit unit) {
      boolean asksPower = system.tracksDue() || unit instanceof Unit.Scan;
      return (powerIsPlain || !asksPower) && programs(unit).stream().allMatch(plain::holds);
    }

    private int size(Unit unit) {
      int size = 100;
      for (StepProgram p : programs(unit)) {
        size += Statements.nodes(p) * NODE_BYTES;
      }
      return size;
    }
  }
}
