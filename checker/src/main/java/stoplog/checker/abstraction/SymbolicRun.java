package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.CutShort;

/**
 * One step from one state, with all choices of the hidden values followed at once: what each variable
 * may be is told by a truth function over the bits of the hidden values for each of its values. Only
 * the different results are then told apart, so that a step costs what its results are, and not what the
 * choices are that lead to them.
 *
 * <p><b>Why nothing is left out.</b> Each choice of the hidden values that keeps to what is assumed (and
 * to the guards met on the way) is one setting of the bits, and every setting is one choice: the values
 * of a slot share out all settings of its bits. Under one setting each function says what plain
 * evaluation of the operations in turn says under that choice. A combination of results is handed out
 * exactly if the functions for its values hold together under some setting.
 */
final class SymbolicRun {
  /** After how many results it is asked whether there is time left. */
  private static final int CHECK_EVERY = 1 << 8;

  private static final ThreadLocal<Diagram> DIAGRAM = ThreadLocal.withInitial(Diagram::new);

  /** A result: the values of the targets, and the hidden variables whose choice suffices for it. */
  private record Outcome(int[] values, @Nullable BitSet leaned) {}

  private final StepProgram program;
  private final int[] before;
  private final boolean telling;
  private final Diagram diagram;

  /** What each target or free variable may be: for each value, when it is. Null while it is as before. */
  private final int[] @Nullable [] now;

  private final int[] @Nullable [] slots;
  private final int[] @Nullable [] defined;
  private final List<Integer> variableOfBit = new ArrayList<>();
  private final Map<Node.Fixed, int[]> open = new IdentityHashMap<>();
  private int assumed = Diagram.TRUE;
  private final List<Outcome> outcomes = new ArrayList<>();
  private final int mostOutcomes;

  private SymbolicRun(StepProgram program, int[] before, boolean telling, StepLimits limits) {
    this.program = program;
    this.before = before;
    this.telling = telling;
    this.diagram = DIAGRAM.get();
    this.now = new int[program.tracked().length][];
    this.slots = new int[program.slots()][];
    this.defined = new int[program.defined()][];
    diagram.clear(limits);
    this.mostOutcomes = limits.told() / (1 + program.targets().length);
  }

  /**
   * As {@link StepProgram#run}, each result once.
   *
   * @param declared whether what is hidden has its bits in the order of the variables, or as it is met. That
   *     decides about the cost, and which of several things that suffice a result is told to lean on
   * @throws Diagram.TooIntricate before any result is handed out
   */
  static void run(
      StepProgram program,
      boolean declared,
      int[] values,
      @Nullable BitSet leaned,
      StepLimits limits,
      StepProgram.Result result) {
    var run = new SymbolicRun(program, values, leaned != null, limits);
    run.choose(declared);
    run.follow();
    int[] targets = program.targets();
    int[] old = new int[targets.length];
    for (int i = 0; i < targets.length; i++) {
      old[i] = values[targets[i]];
    }
    BitSet leanedBefore = leaned == null ? null : (BitSet) leaned.clone();
    int told = 0;
    for (Outcome o : run.outcomes) {
      if ((++told & CHECK_EVERY - 1) == 0) {
        limits.check();
      }
      for (int i = 0; i < targets.length; i++) {
        values[targets[i]] = o.values()[i];
      }
      if (leaned != null && o.leaned() != null) {
        leaned.or(o.leaned());
      }
      result.reached();
      if (leaned != null && leanedBefore != null) {
        leaned.clear();
        leaned.or(leanedBefore);
      }
    }
    for (int i = 0; i < targets.length; i++) {
      values[targets[i]] = old[i];
    }
  }

  private void follow() {
    StepProgram.Operation[] operations = program.operations();
    int holds = Diagram.TRUE;
    for (int i = 0; i < operations.length && holds != Diagram.FALSE; i++) {
      StepProgram.Operation op = operations[i];
      if (op.target() < 0) {
        holds = diagram.and(holds, truth(op.value()));
      } else {
        int[] value = values(op.value());
        int within = Diagram.FALSE;
        for (int v = 0; v < value.length; v++) {
          if ((op.domain() >>> v & 1) == 0) {
            value = value.clone();
            value[v] = Diagram.FALSE;
          }
          within = diagram.or(within, value[v]);
        }
        holds = diagram.and(holds, within);
        now[program.indexOf(op.target())] = value;
      }
      if (i + 1 == program.assumptions()) {
        assumed = holds;
      }
    }
    tellApart(0, holds, new int[program.targets().length]);
  }

  /**
   * Gives what is hidden its bits, in the order of the variables or, here or later, as it is met. What belongs
   * together is declared together, and lists are about things in the order declared: told from bits that
   * stand far apart, "this valve and that one, of any train" would need a function that knows each of the
   * first when it comes to the second. But where many outputs wait for the same things, as the valves of
   * each train do for those of all others, these should come first: as they are met, they do.
   *
   * <p>Members of groups that are followed come first in any case: what decides about a member is then
   * met together.
   */
  private void choose(boolean declared) {
    int[] free = program.free();
    for (int i = 0; i < free.length; i++) {
      now[program.indexOf(free[i])] = choices(program.freeDomain(i), free[i]);
    }
    if (declared) {
      for (Slot slot : program.slotsInOrder()) {
        slots[slot.number()] = choices(slot.domain(), slot.variable());
      }
    }
  }

  private void tellApart(int at, int when, int[] values) {
    if (when == Diagram.FALSE) {
      return;
    }
    if (at == values.length) {
      if (outcomes.size() == mostOutcomes) {
        throw CutShort.tooManyResults();
      }
      outcomes.add(new Outcome(values.clone(), telling ? decisive(when) : null));
      return;
    }
    int target = program.targets()[at];
    int[] value = now[program.indexOf(target)];
    if (value == null) {
      throw new IllegalStateException("a target was not assigned");
    }
    for (int v = 0; v < value.length; v++) {
      values[at] = v;
      tellApart(at + 1, diagram.and(when, value[v]), values);
    }
  }

  /** Few hidden variables whose values, of those assumed, suffice for what holds then. */
  private BitSet decisive(int when) {
    BitSet variables = new BitSet();
    for (int bit : diagram.fewestBits(diagram.restricted(when, assumed))) {
      variables.set(variableOfBit.get(bit));
    }
    return variables;
  }

  /** Any of these values, told apart by fresh bits; when each is chosen, by value. */
  private int[] choices(long domain, int variable) {
    int count = Long.bitCount(domain);
    int width = 32 - Integer.numberOfLeadingZeros(count - 1);
    int first = variableOfBit.size();
    for (int i = 0; i < width; i++) {
      variableOfBit.add(variable);
    }
    int[] when = new int[64 - Long.numberOfLeadingZeros(domain)];
    int others = Diagram.FALSE;
    int code = 0;
    for (long rest = domain; rest != 0; rest &= rest - 1) {
      int is = Diagram.TRUE;
      if (++code == count) {
        is = diagram.not(others);
      } else {
        for (int i = width - 1; i >= 0; i--) {
          int bit = diagram.bit(first + i);
          is = diagram.and(is, (code - 1 >> i & 1) == 1 ? bit : diagram.not(bit));
        }
      }
      when[Long.numberOfTrailingZeros(rest)] = is;
      others = diagram.or(others, is);
    }
    return when;
  }

  /** When the truth value is true. */
  private int truth(Node node) {
    return switch (node) {
      case Node.Not n -> diagram.not(truth(n.operand()));
      case Node.All a -> {
        int all = Diagram.TRUE;
        for (int i = a.operands().length - 1; i >= 0 && all != Diagram.FALSE; i--) {
          all = diagram.and(truth(a.operands()[i]), all);
        }
        yield all;
      }
      case Node.Any a -> {
        int any = Diagram.FALSE;
        for (int i = a.operands().length - 1; i >= 0 && any != Diagram.TRUE; i--) {
          any = diagram.or(truth(a.operands()[i]), any);
        }
        yield any;
      }
      case Node.In i -> diagram.in(values(i.operand()), i.values());
      case Node.Same s -> diagram.same(values(s.left()), values(s.right()));
      case Node.Fixed f -> Diagram.at(values(f), 1);
      case Node.KeptRead r -> Diagram.at(values(r), 1);
      case Node.HiddenRead r -> Diagram.at(values(r), 1);
      case Node.Defined d -> Diagram.at(values(d), 1);
      case Node.Choose c -> diagram.either(truth(c.condition()), truth(c.then()), truth(c.otherwise()));
      case Node.Shift s -> Diagram.at(values(s), 1);
    };
  }

  private static int[] exactly(int value) {
    int[] when = new int[value + 1];
    when[value] = Diagram.TRUE;
    return when;
  }

  private int[] ofTruth(int truth) {
    return new int[] {diagram.not(truth), truth};
  }

  /** For each value the expression may have, when it does. Not to be changed. */
  private int[] values(Node node) {
    return switch (node) {
      case Node.Fixed f ->
          Long.bitCount(f.values()) == 1
              ? exactly(Long.numberOfTrailingZeros(f.values()))
              : open.computeIfAbsent(f, o -> choices(o.values(), -1));
      case Node.KeptRead r -> {
        int index = program.indexOf(r.variable());
        int[] value = index < 0 ? null : now[index];
        yield value == null ? exactly(before[r.variable()]) : value;
      }
      case Node.HiddenRead r -> {
        int[] value = slots[r.slot()];
        if (value == null) {
          value = choices(r.domain(), r.variable());
          slots[r.slot()] = value;
        }
        yield value;
      }
      case Node.Defined d -> {
        int[] value = defined[d.number()];
        if (value == null) {
          value = values(d.value());
          defined[d.number()] = value;
        }
        yield value;
      }
      case Node.Not n -> ofTruth(truth(n));
      case Node.All a -> ofTruth(truth(a));
      case Node.Any a -> ofTruth(truth(a));
      case Node.In i -> ofTruth(truth(i));
      case Node.Same s -> ofTruth(truth(s));
      case Node.Choose c -> chosen(c);
      case Node.Shift s -> {
        int[] value = values(s.operand());
        int[] shifted = new int[Math.clamp(value.length + s.by(), 0, 64)];
        for (int v = 0; v < shifted.length; v++) {
          shifted[v] = Diagram.at(value, v - s.by());
        }
        yield shifted;
      }
    };
  }

  private int[] chosen(Node.Choose c) {
    int when = truth(c.condition());
    if (when == Diagram.TRUE) {
      return values(c.then());
    }
    if (when == Diagram.FALSE) {
      return values(c.otherwise());
    }
    return diagram.either(when, values(c.then()), values(c.otherwise()));
  }
}
