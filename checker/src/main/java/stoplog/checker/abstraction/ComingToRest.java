package stoplog.checker.abstraction;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Untouched;

/**
 * Which values each variable of a plant may have once the plant is left alone for long enough, wherever
 * it may have got to before. Left alone means: nothing happens that waits for no clock, but the inputs that {@link
 * #give} names; and no fault strikes.
 *
 * <p>INVARIANT (all-within): from the last input and the last wait on, after every step, each variable
 * has one of its {@link #values}. It holds at first, when these are all that any steps can lead to.
 *
 * <p><b>Steps.</b> From a value {@code a} a variable gets to another by the assignment of a scan, or by
 * a change whose clock may run; a reaction or monitor may then move it on. What these give is worked
 * out with the variable at {@code a} and every other variable at any of its values, independently: at
 * least what the plant can do. So the values of a variable form a graph along which it moves. What a
 * variable is in the middle of a step counts among its values there ({@link #inSteps}), though a
 * reaction may change it before the step ends.
 *
 * <p><b>Waits.</b> A variable does not stay at {@code a} for long
 * <ol>
 *   <li>if a reaction or monitor gives something else there, whatever the others are: they have been
 *       gone through after every step, and once more changes nothing ({@link TwiceIsOnce});
 *   <li>if the scan gives something else there, and the controller has power. For while no scan is due,
 *       the variable has the value that a scan would give it: the last scan gave it that, from values
 *       that have not changed since, or a scan would be due; and while one is due, it comes within the
 *       reaction time, or (at a reaction time of 0) before time passes;
 *   <li>if a clock with a limit runs there, whatever the others are: it does not stop before the variable
 *       moves, and time goes on ({@link WayBack}).
 * </ol>
 * So each value that is left like this and to which no way leads back is taken once at most, and after a
 * time no more, unless it is got to from a value at which the variable may stay or to which it may come
 * again and again. How long that takes matters to nobody: in a run in which time goes on it passes.
 */
final class ComingToRest {
  /** An input: given if it can be given, and needed while the variable has one of these values. */
  record Input(FieldChange change, int variable, long neededAt) {}

  private final Reads reads;
  private final Model model;
  private final List<Assignment> afterSteps = new ArrayList<>();
  private final List<List<Assignment>> scanned = new ArrayList<>();
  private final List<List<Assignment>> settled = new ArrayList<>();
  private final Claim claim;
  private final BitSet fixed = new BitSet();
  private final BitSet unsteady = new BitSet();
  private final long[] values;
  private final long[] within;

  /** The changes that may come while the plant is left alone. */
  private Predicate<FieldChange> coming = ComingToRest::comesByItself;

  /** Whether scans may come, too. */
  private boolean scanning = true;

  ComingToRest(Reads reads, Claim claim) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.values = new long[model.variables().size()];
    this.within = new long[values.length];
    afterSteps.addAll(model.reactions());
    afterSteps.addAll(claim.monitors());
    BitSet constants = Untouched.by(model, claim);
    for (int v = 0; v < values.length; v++) {
      int variable = v;
      boolean foreign =
          model.variable(v).role() == Role.MONITOR
              && claim.monitors().stream().noneMatch(m -> m.variable() == variable);
      values[v] = model.variable(v).initial();
      fixed.set(v, foreign || constants.get(v));
      scanned.add(
          model.controller().program().stream().filter(a -> a.variable() == variable).toList());
      settled.add(afterSteps.stream().filter(a -> a.variable() == variable).toList());
    }
    unsteady.or(assignedTwice());
    for (Assignment a : model.start()) {
      values[a.variable()] |= of(a.value()) & model.variable(a.variable()).domain();
    }
    coming = claim::admits;
    spread();
    coming = ComingToRest::comesByItself;
    grant(claim.onlyWhile());
  }

  private static boolean comesByItself(FieldChange c) {
    return c.timing() != null && c.cause() != FieldChange.Cause.FAULT;
  }

  /** The same at one value of a variable that does not move. */
  private ComingToRest(ComingToRest other, int variable, int value) {
    this.reads = other.reads;
    this.model = other.model;
    this.claim = other.claim;
    this.afterSteps.addAll(other.afterSteps);
    this.scanned.addAll(other.scanned);
    this.settled.addAll(other.settled);
    this.fixed.or(other.fixed);
    this.unsteady.or(other.unsteady);
    this.values = other.values.clone();
    this.within = other.within.clone();
    values[variable] = 1L << value;
  }

  /** What is taken for granted holds to begin with. */
  private void grant(Expr e) {
    switch (e) {
      case Expr.All(List<Expr> parts) -> parts.forEach(this::grant);
      case Expr.In(Expr.Read(int v), long of) -> values[v] &= of;
      default -> {}
    }
  }

  /** Whether this holds whatever the values are. */
  private boolean isSure(Expr condition) {
    return of(condition) == 2;
  }

  /**
   * Whether what is said above holds of the plant: that going through reactions and monitors twice is
   * as good as once; and that a scan is due once something else has moved what the logic assigns (but
   * that a loss of power has moved: when power returns a scan is due).
   */
  static boolean applies(Reads reads, Claim claim) {
    var afterSteps = new ArrayList<Assignment>(reads.model().reactions());
    afterSteps.addAll(claim.monitors());
    return watchesWhatItAssigns(reads) && TwiceIsOnce.holds(reads, afterSteps);
  }

  /** What one step may assign more than once: read in between it may be what it never is afterwards. */
  private BitSet assignedTwice() {
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

  private static boolean watchesWhatItAssigns(Reads reads) {
    Model model = reads.model();
    BitSet elsewhere = new BitSet();
    BitSet watched = (BitSet) reads.visible().clone();
    watched.or(reads.of(model.controller().powered()));
    model.clocks().forEach(c -> watched.or(reads.ofClock(c.id())));
    var others = new ArrayList<>(model.reactions());
    others.addAll(model.start());
    for (FieldChange c : model.changes()) {
      watched.or(reads.of(c.guard()));
      if (takesPower(model, c)) {
        c.effects().forEach(a -> watched.or(reads.of(a.value())));
      } else {
        others.addAll(c.effects());
      }
    }
    for (Assignment a : others) {
      elsewhere.set(a.variable());
      watched.or(reads.of(a.value()));
    }
    elsewhere.and(reads.programmed());
    elsewhere.andNot(watched);
    return elsewhere.isEmpty();
  }

  /** Whether the controller certainly has no power after this change. */
  private static boolean takesPower(Model model, FieldChange change) {
    if (!(model.controller().powered() instanceof Expr.In(Expr.Read(int power), long on))) {
      return false;
    }
    boolean takes = false;
    for (Assignment a : change.effects()) {
      if (a.variable() == power) {
        takes = a.value() instanceof Expr.Constant(int value) && (on >>> value & 1) == 0;
      }
    }
    return takes && model.reactions().stream().noneMatch(r -> r.variable() == power);
  }

  /** The values a variable may have, as bits. */
  long values(int variable) {
    return values[variable];
  }

  /** Whether no step changes anything any more. */
  boolean isAtRest() {
    for (int v = 0; v < values.length; v++) {
      if (!isStill(v)) {
        return false;
      }
    }
    return true;
  }

  /**
   * The cases to be told apart, each at rest or with nothing left to tell apart: what does not move any
   * more, but is read by something that does, has one of its values for good. Null if there are more
   * than so many.
   */
  @Nullable List<ComingToRest> cases(int most) {
    var done = new ArrayList<ComingToRest>();
    var open = new ArrayDeque<ComingToRest>(List.of(this));
    while (!open.isEmpty()) {
      ComingToRest c = open.removeLast();
      int apart = c.toTellApart();
      if (apart < 0) {
        done.add(c);
      } else {
        for (long left = c.values[apart]; left != 0; left &= left - 1) {
          var one = new ComingToRest(c, apart, Long.numberOfTrailingZeros(left));
          one.settle();
          open.add(one);
        }
      }
      if (done.size() + open.size() > most) {
        return null;
      }
    }
    return done;
  }

  private int toTellApart() {
    BitSet moving = new BitSet();
    for (int v = 0; v < values.length; v++) {
      moving.set(v, !isStill(v));
    }
    BitSet near = Cone.oneStepBack(reads, claim, moving);
    for (int v = near.nextSetBit(0); v >= 0; v = near.nextSetBit(v + 1)) {
      if (!moving.get(v) && Long.bitCount(values[v]) > 1) {
        return v;
      }
    }
    return -1;
  }

  private boolean isStill(int v) {
    for (long left = values[v]; left != 0; left &= left - 1) {
      int a = Long.numberOfTrailingZeros(left);
      if (steps(v, a) != 1L << a) {
        return false;
      }
    }
    return true;
  }

  /**
   * The inputs, one after the other in no time; and what may come of it before anything is waited for.
   * Between them nothing else happens if the controller takes time to react; if it takes none, scans
   * may have to come before an input can.
   *
   * @return whether all that the claim takes for granted surely holds all the while, given that it did
   *     before
   */
  boolean give(List<Input> inputs) {
    coming = c -> false;
    scanning = model.controller().reactionQuanta() == 0;
    if (scanning) {
      spread();
    }
    boolean followed = !scanning || isSure(claim.onlyWhile());
    for (Input i : inputs) {
      give(i);
      spread();
      followed &= isSure(claim.onlyWhile());
    }
    coming = ComingToRest::comesByItself;
    scanning = true;
    spread();
    return followed && isSure(claim.onlyWhile());
  }

  private void spread() {
    boolean more = true;
    while (more) {
      more = false;
      inSteps();
      for (int v = 0; v < values.length; v++) {
        long wider = values[v];
        for (long left = values[v]; left != 0; left &= left - 1) {
          wider |= steps(v, Long.numberOfTrailingZeros(left));
        }
        more |= wider != values[v];
        values[v] = wider;
      }
    }
  }

  private void give(Input input) {
    int x = input.variable();
    long before = values[x];
    long after = before & ~input.neededAt();
    var others = new ArrayList<long[]>();
    for (long left = before & input.neededAt(); left != 0; left &= left - 1) {
      int a = Long.numberOfTrailingZeros(left);
      values[x] = 1L << a;
      int can = (int) of(input.change().guard());
      if ((can & 1) != 0) {
        after |= 1L << a;
      }
      if ((can & 2) != 0) {
        long[] kept = values.clone();
        for (Assignment e : input.change().effects()) {
          values[e.variable()] = of(e.value()) & model.variable(e.variable()).domain();
        }
        others.add(values.clone());
        System.arraycopy(kept, 0, values, 0, kept.length);
      }
    }
    values[x] = after;
    if (after == 0) {
      // It is given for certain.
      input.change().effects().forEach(e -> values[e.variable()] = 0);
    }
    for (long[] given : others) {
      for (Assignment e : input.change().effects()) {
        values[e.variable()] |= given[e.variable()];
      }
    }
  }

  /** A long wait. */
  void settle() {
    spread();
    boolean less = true;
    while (less) {
      less = false;
      inSteps();
      boolean powered = of(model.controller().powered()) == 2;
      long[] later = new long[values.length];
      for (int v = 0; v < values.length; v++) {
        later[v] = lasting(v, powered);
        less |= later[v] != values[v];
      }
      System.arraycopy(later, 0, values, 0, values.length);
    }
  }

  /** The values that the variable may still have after a long wait. */
  private long lasting(int v, boolean powered) {
    int size = model.variable(v).size();
    long[] to = new long[size];
    for (long left = values[v]; left != 0; left &= left - 1) {
      int a = Long.numberOfTrailingZeros(left);
      to[a] = steps(v, a);
    }
    long lasting = 0;
    for (long left = values[v]; left != 0; left &= left - 1) {
      int a = Long.numberOfTrailingZeros(left);
      if (!isLeft(v, a, powered) || returns(to, a)) {
        lasting |= 1L << a | reached(to, to[a]);
      }
    }
    return lasting;
  }

  private static boolean returns(long[] to, int a) {
    return (reached(to, to[a] & ~(1L << a)) >>> a & 1) == 1;
  }

  private static long reached(long[] to, long from) {
    long reached = from;
    long before = 0;
    while (reached != before) {
      before = reached;
      for (long left = before; left != 0; left &= left - 1) {
        reached |= to[Long.numberOfTrailingZeros(left)];
      }
    }
    return reached;
  }

  /** Whether the variable surely leaves this value in time. */
  private boolean isLeft(int v, int a, boolean powered) {
    long all = values[v];
    values[v] = 1L << a;
    boolean left = false;
    for (Clock c : model.clocks()) {
      left |= c.limit() != null && reads.ofClock(c.id()).get(v) && of(c.running()) == 2;
    }
    if (!unsteady.get(v)) {
      // What is read there of a variable assigned more than once may be what it is in between.
      long[] between = values.clone();
      unsteady.stream().forEach(u -> values[u] = within[u]);
      for (Assignment r : settled.get(v)) {
        left |= (of(r.value()) >>> a & 1) == 0;
      }
      for (Assignment s : scanned.get(v)) {
        left |= powered && (of(s.value()) >>> a & 1) == 0;
      }
      System.arraycopy(between, 0, values, 0, values.length);
    }
    values[v] = all;
    return left;
  }

  /** Works out what each variable may be in the middle of a step, beside its {@link #values}. */
  private void inSteps() {
    // Each round may add what the one before has made possible.
    System.arraycopy(values, 0, within, 0, values.length);
    boolean more = true;
    while (more) {
      more = false;
      for (int v = 0; v < values.length; v++) {
        if (!settled.get(v).isEmpty() || unsteady.get(v)) {
          long wider = within[v];
          for (long left = values[v]; left != 0; left &= left - 1) {
            wider |= moves(v, Long.numberOfTrailingZeros(left));
          }
          if (unsteady.get(v)) {
            wider |= reactions(v, within[v]);
          }
          more |= wider != within[v];
          within[v] = wider;
        }
      }
    }
  }

  /** What the variable may become from this value in one step, or stay, as bits. */
  private long steps(int v, int a) {
    long moved = moves(v, a) | 1L << a;
    if (settled.get(v).isEmpty()) {
      return moved;
    }
    return reactions(v, moved);
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
    if (scanning) {
      for (Assignment s : scanned.get(v)) {
        to |= within(s.value(), v, a);
      }
    }
    return to & model.variable(v).domain();
  }

  /** What an expression may be in the middle of a step, the variable being this. */
  private long within(Expr e, int v, int a) {
    long[] between = values.clone();
    System.arraycopy(within, 0, values, 0, values.length);
    if (!unsteady.get(v)) {
      values[v] = 1L << a;
    }
    long of = of(e);
    System.arraycopy(between, 0, values, 0, values.length);
    return of;
  }

  /** The values an expression may have, each variable having any of its own, as bits. */
  private long of(Expr e) {
    return switch (e) {
      case Expr.Constant c -> 1L << c.value();
      case Expr.Read r -> values[r.variable()];
      case Expr.Use u -> of(model.definitions().get(u.definition()).value());
      case Expr.Not n -> truth(of(n.operand()), 1, 0);
      case Expr.All a -> all(a.operands(), false);
      case Expr.Any a -> all(a.operands(), true);
      case Expr.In i -> {
        long of = of(i.operand());
        yield ((of & i.values()) != 0 ? 2 : 0) | ((of & ~i.values()) != 0 ? 1 : 0);
      }
      case Expr.Same s -> {
        long left = of(s.left());
        long right = of(s.right());
        boolean one = left == right && Long.bitCount(left) == 1;
        yield ((left & right) != 0 ? 2 : 0) | (one ? 0 : 1);
      }
      case Expr.Choose c -> {
        long condition = of(c.condition());
        yield ((condition & 2) != 0 ? of(c.then()) : 0)
            | ((condition & 1) != 0 ? of(c.otherwise()) : 0);
      }
      case Expr.Shift s -> s.by() >= 0 ? of(s.operand()) << s.by() : of(s.operand()) >>> -s.by();
    };
  }

  private static long truth(long of, int yes, int no) {
    return ((of & 2) != 0 ? 1L << no : 0) | ((of & 1) != 0 ? 1L << yes : 0);
  }

  /** Of "all", or with the parts turned round, of "any". */
  private long all(List<Expr> operands, boolean any) {
    long may = any ? 1 : 2;
    for (Expr o : operands) {
      long of = of(o);
      if (any) {
        may = (may & 1 & of) | ((may | of) & 2);
      } else {
        may = (may & 2 & of) | ((may | of) & 1);
      }
    }
    return may;
  }

  /** Every combination of the values, or null if there are more than so many. */
  @Nullable List<List<Integer>> combinations(int most) {
    long count = 1;
    for (long of : values) {
      count *= Long.bitCount(of);
      if (count > most || count == 0) {
        return null;
      }
    }
    var all = new ArrayList<List<Integer>>();
    int[] now = Arrays.stream(values).mapToInt(Long::numberOfTrailingZeros).toArray();
    while (true) {
      all.add(Arrays.stream(now).boxed().toList());
      int v = 0;
      while (v < now.length && values[v] >>> now[v] >>> 1 == 0) {
        now[v] = Long.numberOfTrailingZeros(values[v]);
        v++;
      }
      if (v == now.length) {
        return all;
      }
      now[v] += 1 + Long.numberOfTrailingZeros(values[v] >>> now[v] >>> 1);
    }
  }
}
