package stoplog.checker.certificate;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;

/**
 * What a state of a certificate says of time: which of the clocks that can be read exactly run in it,
 * and whether the controller may have power. A clock can be read exactly if its condition has one value
 * in every state.
 */
final class Watches {
  private final Known known;
  private final Runnable pressing;
  private final Controller controller;
  private final Step powered;
  private final List<Watch> watches = new ArrayList<>();
  private final Map<List<Integer>, Facts> facts = new HashMap<>();

  /** A clock that can be read exactly; -1 for a clock that is not one of the model. */
  record Watch(String name, Step running, @Nullable Bound limit, int modelClock) {}

  /** What follows from the values of a state. */
  private record Facts(List<Watch> running, boolean powered) {}

  /**
   * @param due whether the certificate tells how many changes wait for a scan
   * @param states what its states tell
   * @param pressing asked again and again; throws if there is no time left
   */
  Watches(Known known, Claim claim, boolean due, Set<List<Integer>> states, Runnable pressing) {
    this.known = known;
    this.pressing = pressing;
    this.controller = known.model.controller();
    this.powered = Step.of(known).toValueOf(controller.powered());
    for (Clock c : known.model.clocks()) {
      Step running = Step.of(known).toValueOf(c.running());
      if (isKnown(c.running(), running, states)) {
        watches.add(new Watch(c.name(), running, attained(c.limit()), c.id()));
      }
    }
    Step condition = Step.of(known).toValueOf(claim.condition());
    Refused.unless(
        isKnown(claim.condition(), condition, states), "it does not keep all that the claim speaks of");
    Refused.unless(
        !due || isKnown(controller.powered(), powered, states),
        "it does not keep what tells whether the controller has power");
    watches.add(new Watch(Certificate.Bound.CONDITION, condition, null, -1));
  }

  /** Whether the expression has one value in each state. */
  private boolean isKnown(Expr e, Step value, Set<List<Integer>> states) {
    BitSet unknown = known.reads(e);
    unknown.andNot(known.exact);
    return unknown.isEmpty() && states.stream().allMatch(s -> value.from(s, pressing).size() <= 1);
  }

  /** A clock starts at 0: one with the open limit 0 is there already. No time passes, but steps happen. */
  private static @Nullable Bound attained(@Nullable Bound limit) {
    return limit != null && limit.quanta() == 0 ? Bound.at(0) : limit;
  }

  private Facts facts(List<Integer> told) {
    return facts.computeIfAbsent(
        told,
        t ->
            new Facts(
                watches.stream().filter(w -> mayBe(w.running(), t)).toList(), mayBe(powered, t)));
  }

  private boolean mayBe(Step value, List<Integer> told) {
    return value.from(told, pressing).contains(List.of(1));
  }

  boolean powered(List<Integer> told) {
    return facts(told).powered();
  }

  /** The clocks that run, a due scan's among them. */
  List<Watch> running(List<Integer> told, int due) {
    List<Watch> running = facts(told).running();
    if (due == 0) {
      return running;
    }
    var withScan = new ArrayList<>(running);
    withScan.add(
        new Watch(Certificate.Bound.DUE, powered, Bound.at(controller.reactionQuanta()), -1));
    return withScan;
  }

  /** A clock's place in a zone over those that run; 0 for the number 0, -1 for one that does not run. */
  static int place(List<Watch> running, String name) {
    if (name.equals(Certificate.Bound.ZERO)) {
      return 0;
    }
    for (int i = 0; i < running.size(); i++) {
      if (running.get(i).name().equals(name)) {
        return i + 1;
      }
    }
    return -1;
  }

  /** The readings at which a change can happen; null if there are none, or its clock does not run. */
  @Nullable PlainZone happening(
      PlainZone zone, List<Watch> running, FieldChange.@Nullable Timing timing) {
    if (timing == null || watches.stream().noneMatch(w -> w.modelClock() == timing.clock())) {
      return zone;
    }
    for (int i = 0; i < running.size(); i++) {
      if (running.get(i).modelClock() == timing.clock()) {
        Bound e = timing.earliest();
        PlainZone within = zone.and(0, i + 1, -e.quanta(), e.closed());
        Bound l = timing.latest();
        within = l == null ? within : within.and(i + 1, 0, l.quanta(), l.closed());
        return within.isEmpty() ? null : within;
      }
    }
    return null;
  }
}
