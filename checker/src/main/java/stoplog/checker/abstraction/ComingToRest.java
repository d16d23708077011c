package stoplog.checker.abstraction;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Which values each variable of a plant may have once the plant is left alone for long enough, wherever
 * it may have got to before. Left alone means: nothing happens that waits for no clock, but the inputs
 * that {@link #give} names; and no fault strikes.
 *
 * <p>INVARIANT (all-within): from the last input and the last wait on, after every step, each variable
 * has one of its {@link #values}. It holds at first, when these are all that any steps can lead to.
 *
 * <p><b>Steps.</b> From any value a variable moves along the graph of its {@link PossibleSteps}.
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
  private final Claim claim;
  private final BitSet inside;
  private final Set<FieldChange> atDeadlines;
  private final ValueSets values;
  private final PossibleSteps steps;

  /**
   * @param inside the variables that are to come to rest, with all that they depend on
   * @param atDeadlines changes that wait for no clock but may be needed so that time goes on
   */
  ComingToRest(Reads reads, Claim claim, BitSet inside, Set<FieldChange> atDeadlines) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.inside = inside;
    this.atDeadlines = atDeadlines;
    this.values = new ValueSets(model);
    this.steps = new PossibleSteps(reads, claim, values, claim::admits);
    for (int v = 0; v < values.size(); v++) {
      values.set(v, model.variable(v).initial());
    }
    for (Assignment a : model.start()) {
      values.add(a.variable(), values.of(a.value()) & model.variable(a.variable()).domain());
    }
    steps.spread();
    steps.let(this::comesByItself, true);
    grant(claim.onlyWhile());
  }

  /** The same, to be gone on with in another way. */
  ComingToRest(ComingToRest other) {
    this.reads = other.reads;
    this.model = other.model;
    this.claim = other.claim;
    this.inside = other.inside;
    this.atDeadlines = other.atDeadlines;
    this.values = new ValueSets(other.values);
    this.steps = new PossibleSteps(other.steps, values);
  }

  private boolean comesByItself(FieldChange c) {
    return c.timing() != null
        ? c.cause() != FieldChange.Cause.FAULT
        : atDeadlines.contains(c);
  }

  /** What is taken for granted holds to begin with. */
  private void grant(Expr e) {
    switch (e) {
      case Expr.All(List<Expr> parts) -> parts.forEach(this::grant);
      case Expr.In(Expr.Read(int v), long of) -> values.set(v, values.get(v) & of);
      default -> {}
    }
  }

  /**
   * Whether what is said above holds of the plant: that going through reactions and monitors twice is
   * as good as once; and that a scan is due once something else has moved what the logic assigns (but
   * that a loss of power has moved: when power returns a scan is due).
   */
  static boolean applies(Reads reads, Claim claim) {
    var afterSteps = new ArrayList<Assignment>(reads.model().reactions());
    afterSteps.addAll(claim.monitors());
    return MovedIsSeen.holds(reads) && TwiceIsOnce.holds(reads, afterSteps);
  }

  /** The values a variable may have, as bits. */
  long values(int variable) {
    return values.get(variable);
  }

  /**
   * Every combination of the values of what is to come to rest, or null if there are more than so many. What else
   * there is has the first value that it may start with.
   */
  @Nullable List<List<Integer>> combinations(int most) {
    var told = new ValueSets(values);
    for (int v = 0; v < values.size(); v++) {
      if (!inside.get(v)) {
        told.set(v, Long.lowestOneBit(model.variable(v).initial()));
      }
    }
    return told.combinations(most);
  }

  /** Whether no step changes anything any more of what is to come to rest. */
  boolean isAtRest() {
    return moving().isEmpty();
  }

  /** What is to come to rest and has not. */
  BitSet moving() {
    BitSet moving = new BitSet();
    inside.stream().filter(v -> !isStill(v)).forEach(moving::set);
    return moving;
  }

  /**
   * The cases to be told apart, each at rest: what does not move any more, but is read by something that does,
   * has one of its values for good. Null if there are more than so many, or one does not come to rest.
   */
  @Nullable List<ComingToRest> cases(int most) {
    var done = new ArrayList<ComingToRest>();
    var open = new ArrayDeque<ComingToRest>(List.of(this));
    while (!open.isEmpty()) {
      ComingToRest c = open.removeLast();
      int apart = c.toTellApart();
      if (apart < 0) {
        List<ComingToRest> closer = c.together();
        if (!closer.isEmpty()) {
          open.addAll(closer);
        } else if (c.isAtRest()) {
          done.add(c);
        } else {
          return null;
        }
      } else {
        for (long left = c.values.get(apart); left != 0; left &= left - 1) {
          open.add(c.with(only(apart), List.of(List.of(Long.numberOfTrailingZeros(left)))));
        }
      }
      if (done.size() + open.size() > most) {
        return null;
      }
    }
    return done;
  }

  /**
   * The case looked at closer, at what is left to some of those that move for each other's sake; or if each such
   * combination of values stays for good, a case for each. Empty if that does not help.
   */
  private List<ComingToRest> together() {
    boolean powered = values.isSure(model.controller().powered());
    for (BitSet group : movingTogether()) {
      var together = new MovingTogether(steps, values, group, powered);
      List<List<Integer>> lasting = together.lasting();
      if (lasting == null) {
        continue;
      }
      ComingToRest all = with(group, lasting);
      if (group.stream().anyMatch(v -> all.values.get(v) != values.get(v))) {
        return List.of(all);
      }
      if (lasting.stream().allMatch(together::isStill)) {
        return lasting.stream().map(stay -> with(group, List.of(stay))).toList();
      }
    }
    return List.of();
  }

  private List<BitSet> movingTogether() {
    return MovingTogether.parts(moving(), this::movers).stream()
        .filter(p -> p.cardinality() > 1)
        .toList();
  }

  private BitSet movers(int variable) {
    return Cone.oneStepBack(reads, claim, only(variable));
  }

  private static BitSet only(int variable) {
    BitSet only = new BitSet();
    only.set(variable);
    return only;
  }

  /** The same with no other values of some variables than these, once that has settled. */
  private ComingToRest with(BitSet group, List<List<Integer>> combinations) {
    var with = new ComingToRest(this);
    int[] members = group.stream().toArray();
    for (int i = 0; i < members.length; i++) {
      long may = 0;
      for (List<Integer> c : combinations) {
        may |= 1L << c.get(i);
      }
      with.values.set(members[i], may);
    }
    with.settleOneByOne();
    return with;
  }

  private int toTellApart() {
    BitSet moving = moving();
    BitSet near = Cone.oneStepBack(reads, claim, moving);
    for (int v = near.nextSetBit(0); v >= 0; v = near.nextSetBit(v + 1)) {
      if (!moving.get(v) && Long.bitCount(values.get(v)) > 1) {
        return v;
      }
    }
    return -1;
  }

  private boolean isStill(int v) {
    for (long left = values.get(v); left != 0; left &= left - 1) {
      int a = Long.numberOfTrailingZeros(left);
      if ((steps.of(v, a) & values.get(v)) != 1L << a) {
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
    boolean scans = model.controller().reactionQuanta() == 0;
    steps.let(c -> false, scans);
    if (scans) {
      steps.spread();
    }
    boolean followed = !scans || values.isSure(claim.onlyWhile());
    for (Input i : inputs) {
      give(i);
      steps.spread();
      followed &= values.isSure(claim.onlyWhile());
    }
    steps.let(this::comesByItself, true);
    steps.spread();
    return followed && values.isSure(claim.onlyWhile());
  }

  private void give(Input input) {
    int x = input.variable();
    long before = values.get(x);
    long after = before & ~input.neededAt();
    var others = new ArrayList<ValueSets>();
    for (long left = before & input.neededAt(); left != 0; left &= left - 1) {
      int a = Long.numberOfTrailingZeros(left);
      values.set(x, 1L << a);
      int can = (int) values.of(input.change().guard());
      if ((can & 1) != 0) {
        after |= 1L << a;
      }
      if ((can & 2) != 0) {
        var given = new ValueSets(values);
        for (Assignment e : input.change().effects()) {
          given.set(e.variable(), given.of(e.value()) & model.variable(e.variable()).domain());
        }
        others.add(given);
      }
    }
    values.set(x, after);
    if (after == 0) {
      // It is given for certain.
      input.change().effects().forEach(e -> values.set(e.variable(), 0));
    }
    for (ValueSets given : others) {
      for (Assignment e : input.change().effects()) {
        values.add(e.variable(), given.get(e.variable()));
      }
    }
  }

  /** A long wait. */
  void settle() {
    steps.spread();
    settleOneByOne();
  }

  private void settleOneByOne() {
    boolean less = true;
    while (less) {
      less = false;
      steps.inSteps();
      boolean powered = values.isSure(model.controller().powered());
      var later = new ValueSets(model);
      for (int v = 0; v < values.size(); v++) {
        later.set(v, lasting(v, powered));
        less |= later.get(v) != values.get(v);
      }
      values.setAll(later);
    }
  }

  /** The values that the variable may still have after a long wait. */
  private long lasting(int v, boolean powered) {
    int size = model.variable(v).size();
    long[] to = new long[size];
    for (long left = values.get(v); left != 0; left &= left - 1) {
      int a = Long.numberOfTrailingZeros(left);
      to[a] = steps.of(v, a) & values.get(v);
    }
    long lasting = 0;
    for (long left = values.get(v); left != 0; left &= left - 1) {
      int a = Long.numberOfTrailingZeros(left);
      if (!steps.surelyLeaves(v, a, powered) || returns(to, a)) {
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
}
