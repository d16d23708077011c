package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.function.Predicate;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Untouched;

/**
 * What one step of a plant may make of each variable, every other variable having any of its values,
 * independently: at least what the plant can do. So the values of a variable form a graph along which it
 * moves.
 *
 * <p>From a value {@code a} a variable gets to another by the assignment of a scan, or by a change whose
 * clock may run; a reaction or monitor may then move it on. What a variable is in the middle of a step
 * counts among its values there ({@link #inSteps}), though a reaction may change it before the step
 * ends.
 */
final class PossibleSteps {
  private final Reads reads;
  private final Model model;
  private final List<List<Assignment>> scanned = new ArrayList<>();
  private final List<List<Assignment>> settled = new ArrayList<>();
  private final BitSet fixed = new BitSet();
  private final BitSet unsteady;
  private final ValueSets values;
  private final ValueSets within;

  /** The changes that may come. */
  private Predicate<FieldChange> coming;

  /** Whether scans may come, too. */
  private boolean scanning = true;

  /**
   * @param values between steps; those of whoever asks, who may change them
   * @param coming the changes that may come
   */
  PossibleSteps(Reads reads, Claim claim, ValueSets values, Predicate<FieldChange> coming) {
    this.reads = reads;
    this.model = reads.model();
    this.values = values;
    this.within = new ValueSets(model);
    this.coming = coming;
    var afterSteps = new ArrayList<>(model.reactions());
    afterSteps.addAll(claim.monitors());
    BitSet constants = Untouched.by(model, claim);
    for (int v = 0; v < values.size(); v++) {
      int variable = v;
      boolean foreign =
          model.variable(v).role() == Role.MONITOR
              && claim.monitors().stream().noneMatch(m -> m.variable() == variable);
      fixed.set(v, foreign || constants.get(v));
      scanned.add(
          model.controller().program().stream().filter(a -> a.variable() == variable).toList());
      settled.add(afterSteps.stream().filter(a -> a.variable() == variable).toList());
    }
    this.unsteady = assignedTwice(afterSteps);
  }

  /** The same steps from other values. */
  PossibleSteps(PossibleSteps other, ValueSets values) {
    this.reads = other.reads;
    this.model = other.model;
    this.scanned.addAll(other.scanned);
    this.settled.addAll(other.settled);
    this.fixed.or(other.fixed);
    this.unsteady = other.unsteady;
    this.values = values;
    this.within = new ValueSets(other.within);
    this.coming = other.coming;
    this.scanning = other.scanning;
  }

  /** What one step may assign more than once: read in between it may be what it never is afterwards. */
  private BitSet assignedTwice(List<Assignment> afterSteps) {
    BitSet twice = new BitSet();
    var all = new ArrayList<>(model.controller().program());
    all.addAll(afterSteps);
    twice(all, twice);
    model.changes().forEach(c -> twice(c.effects(), twice));
    return twice;
  }

  private static void twice(List<Assignment> assignments, BitSet into) {
    BitSet once = new BitSet();
    for (Assignment a : assignments) {
      into.set(a.variable(), into.get(a.variable()) || once.get(a.variable()));
      once.set(a.variable());
    }
  }

  /** From here on these changes may come, and scans or not. */
  void let(Predicate<FieldChange> changes, boolean scans) {
    coming = changes;
    scanning = scans;
  }

  /** Adds to the values all that any number of steps may make of them. */
  void spread() {
    boolean more = true;
    while (more) {
      more = false;
      inSteps();
      for (int v = 0; v < values.size(); v++) {
        long wider = values.get(v);
        for (long left = values.get(v); left != 0; left &= left - 1) {
          wider |= of(v, Long.numberOfTrailingZeros(left));
        }
        more |= wider != values.get(v);
        values.set(v, wider);
      }
    }
  }

  /** What the variable may become from this value in one step, or stay, as bits. */
  long of(int v, int a) {
    long moved = moves(v, a) | 1L << a;
    if (settled.get(v).isEmpty()) {
      return moved;
    }
    return reactions(v, moved);
  }

  /** Works out what each variable may be in the middle of a step, beside its values between steps. */
  void inSteps() {
    inSteps(new BitSet());
  }

  /**
   * The same where some variables have fewer values between steps than steps may make of them.
   *
   * @param narrowed which
   */
  void inSteps(BitSet narrowed) {
    // Each round may add what the one before has made possible.
    within.setAll(values);
    boolean more = true;
    while (more) {
      more = false;
      for (int v = 0; v < values.size(); v++) {
        if (!settled.get(v).isEmpty() || unsteady.get(v) || narrowed.get(v)) {
          long wider = within.get(v);
          for (long left = values.get(v); left != 0; left &= left - 1) {
            int a = Long.numberOfTrailingZeros(left);
            wider |= narrowed.get(v) ? moves(v, a) | of(v, a) : moves(v, a);
          }
          if (unsteady.get(v)) {
            wider |= reactions(v, within.get(v));
          }
          more |= wider != within.get(v);
          within.set(v, wider);
        }
      }
    }
  }

  private long reactions(int v, long from) {
    long to = 0;
    for (Assignment r : settled.get(v)) {
      for (long left = from; left != 0; left &= left - 1) {
        to |= within(r.value(), v, Long.numberOfTrailingZeros(left));
      }
    }
    return to & model.variable(v).domain();
  }

  /** What a scan or a change may make of it, before the reactions. */
  private long moves(int v, int a) {
    if (fixed.get(v)) {
      return 0;
    }
    long to = 0;
    for (FieldChange c : reads.changesOf(v)) {
      FieldChange.Timing t = c.timing();
      if (coming.test(c)
          && (t == null || (within(model.clocks().get(t.clock()).running(), v, a) & 2) != 0)
          && (within(c.guard(), v, a) & 2) != 0) {
        for (Assignment e : c.effects()) {
          if (e.variable() == v) {
            to |= within(e.value(), v, a);
          }
        }
      }
    }
    if (scanning && (values.of(model.controller().powered()) & 2) != 0) {
      for (Assignment s : scanned.get(v)) {
        to |= within(s.value(), v, a);
      }
    }
    return to & model.variable(v).domain();
  }

  /** What an expression may be in the middle of a step, the variable being this. */
  private long within(Expr e, int v, int a) {
    if (unsteady.get(v)) {
      return within.of(e);
    }
    long all = within.get(v);
    within.set(v, 1L << a);
    long of = within.of(e);
    within.set(v, all);
    return of;
  }

  /** Whether the variable surely leaves this value in time. */
  boolean surelyLeaves(int v, int a, boolean powered) {
    return surelyMove(v, a, powered) || aDeadlineComes(v, a);
  }

  /** Whether a clock with a limit surely runs while the variable has this value. */
  private boolean aDeadlineComes(int v, int a) {
    var there = new ValueSets(values);
    there.set(v, 1L << a);
    for (Clock c : model.clocks()) {
      if (c.limit() != null && reads.ofClock(c.id()).get(v) && there.isSure(c.running())) {
        return true;
      }
    }
    return false;
  }

  /**
   * Whether a reaction or monitor, or if there is power the scan, makes something else of a variable
   * that has this value, whatever the others are.
   */
  private boolean surelyMove(int v, int a, boolean powered) {
    if (unsteady.get(v)) {
      return false;
    }
    // What is read there of a variable assigned more than once may be what it is in between.
    var there = new ValueSets(values);
    there.set(v, 1L << a);
    unsteady.stream().forEach(u -> there.set(u, within.get(u)));
    for (Assignment r : settled.get(v)) {
      if ((there.of(r.value()) >>> a & 1) == 0) {
        return true;
      }
    }
    for (Assignment s : scanned.get(v)) {
      if (powered && (there.of(s.value()) >>> a & 1) == 0) {
        return true;
      }
    }
    return false;
  }
}
