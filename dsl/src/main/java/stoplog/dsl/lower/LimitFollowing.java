package stoplog.dsl.lower;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.lower.FaultLowering.Fault;
import stoplog.dsl.resolve.ResolvedPlant.Transmitting;
import stoplog.dsl.resolve.TimeWindow;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * How the reading of a transmitter follows past one limit.
 *
 * <p>The truth is surely below the limit, surely above it, or, with a dead band, too near to say.
 * What is kept in {@code PT-1 at 6 bar}:
 * <ul>
 *   <li>0, 1: the reading has settled below, above.
 *   <li>2, 3: the truth went below, above once, and the reading has yet to follow. It follows within
 *       the lag, and is settled then.
 *   <li>4, 5: the truth is below, above, but went back and forth before the reading had followed,
 *       or comes from near the limit. The reading may show any of that late: it may be on either
 *       side, until the truth has been where it is for the longest lag.
 *   <li>6: the truth is near the limit, and the reading may be on either side.
 * </ul>
 *
 * <p>This allows all that a pure delay within the window does: the reading passes the limit as long
 * after the truth as the delay is, however short the stay beyond it; and all that a slow instrument
 * does, which never notices a short stay. In 4 and 5 a reading moves no sooner than the least lag
 * after the first of these passages; with a dead band it may move at once, since the truth may have
 * been near the limit for any time.
 *
 * <p>INVARIANT (sides): while the transmitter is sound, the reading is below the limit in 0 and 3, and
 * above it in 1 and 2. Hence, when a lag is up, either the reading
 * is on the wrong side and may move, or it is on the right side and the limit settles.
 */
final class LimitFollowing {
  private static final int BELOW = 0;
  private static final int ABOVE = 1;
  private static final int TO_FALL = 2;
  private static final int TO_RISE = 3;
  private static final int UNSETTLED_BELOW = 4;
  private static final int UNSETTLED_ABOVE = 5;
  private static final int NEAR = 6;
  private static final List<String> WORDS =
      List.of(
          "settled below",
          "settled above",
          "yet to fall",
          "yet to rise",
          "below, unsettled",
          "above, unsettled",
          "near");

  /**
   * Where the truth is.
   *
   * @param surelyBelow so far below that a settled reading is below too
   * @param surelyAbove so far above that a settled reading is above too
   * @param above simply above
   */
  record Truth(Expr surelyBelow, Expr surelyAbove, Expr above) {}

  /** A way to pass the limit: when, besides, and how late. */
  record Passage(Expr when, @Nullable Timing timing) {}

  private final Parts parts;
  private final Transmitting transmitter;
  private final Truth truth;
  private final Expr reads;
  private final @Nullable Fault fault;
  private final String name;
  private final boolean isPassed;
  private int kept = -1;
  private int fallClock = -1;
  private int riseClock = -1;
  private int anyClock = -1;

  /**
   * @param limit in words: {@code at 6 bar}
   * @param reads whether the reading is above
   */
  LimitFollowing(
      Parts parts,
      Transmitting transmitter,
      String limit,
      Truth truth,
      Expr reads,
      @Nullable Fault fault) {
    this.parts = parts;
    this.transmitter = transmitter;
    this.truth = truth;
    this.reads = reads;
    this.fault = fault;
    this.name = transmitter.instrument().name() + " " + limit;
    // A limit that the truth cannot leave on either side is never passed by a sound reading.
    this.isPassed =
        !truth.surelyBelow().equals(Expr.TRUE) && !truth.surelyAbove().equals(Expr.TRUE);
  }

  Expr reads() {
    return reads;
  }

  Expr holds() {
    return truth.above();
  }

  Expr surelyBelow() {
    return truth.surelyBelow();
  }

  Expr surelyAbove() {
    return truth.surelyAbove();
  }

  private long highMicros() {
    TimeWindow lag = transmitter.lag();
    return lag == null ? 0 : lag.highMicros();
  }

  private long lowMicros() {
    TimeWindow lag = transmitter.lag();
    return lag == null ? 0 : lag.lowMicros();
  }

  private boolean hasDeadBand() {
    return transmitter.deadBand().signum() > 0;
  }

  /** Its variable, clocks and reaction; the reading itself is moved by others. */
  void lower() {
    if (!isPassed) {
      return;
    }
    Span at = transmitter.span();
    String tag = transmitter.instrument().name().text();
    List<String> words = WORDS.subList(0, hasDeadBand() ? NEAR + 1 : NEAR);
    kept = parts.variable(name, Role.INSTRUMENT, words, 1, "how " + tag + " follows", at);
    parts.start.add(
        new Assignment(
            kept,
            side(constant(BELOW), constant(ABOVE), constant(NEAR)),
            at));
    Expr below =
        new Expr.Choose(
            is(ABOVE, TO_FALL),
            new Expr.Choose(reads, constant(TO_FALL), constant(BELOW)),
            new Expr.Choose(is(BELOW), constant(BELOW), constant(UNSETTLED_BELOW)));
    Expr above =
        new Expr.Choose(
            is(BELOW, TO_RISE),
            new Expr.Choose(reads, constant(ABOVE), constant(TO_RISE)),
            new Expr.Choose(is(ABOVE), constant(ABOVE), constant(UNSETTLED_ABOVE)));
    Expr next = side(below, above, constant(NEAR));
    parts.reactions.add(
        new Assignment(
            kept,
            fault == null ? next : new Expr.Choose(fault.none(), next, constant(BELOW)),
            at));
    Bound latest = parts.bound(highMicros());
    fallClock = parts.clock(name + " falling", is(TO_FALL, UNSETTLED_BELOW), latest, at);
    riseClock = parts.clock(name + " rising", is(TO_RISE, UNSETTLED_ABOVE), latest, at);
    if (lowMicros() > 0 && !hasDeadBand()) {
      Expr moving = is(TO_FALL, TO_RISE, UNSETTLED_BELOW, UNSETTLED_ABOVE);
      anyClock = parts.clock(name + " following", moving, null, at);
    }
    settles(UNSETTLED_BELOW, Expr.not(reads), fallClock, BELOW);
    settles(UNSETTLED_ABOVE, reads, riseClock, ABOVE);
  }

  /** The truth has been here for the longest lag, and the reading is too: what was is forgotten. */
  private void settles(int from, Expr right, int clock, int to) {
    Bound latest = parts.bound(highMicros());
    parts.change(
        transmitter.instrument().name() + " has settled",
        Cause.INSTRUMENT,
        Expr.all(is(from), right),
        new Timing(clock, latest, null),
        List.of(Parts.set(kept, to, transmitter.span())),
        transmitter.span());
  }

  private Expr side(Expr below, Expr above, Expr near) {
    Expr rest =
        hasDeadBand() ? new Expr.Choose(truth.surelyBelow(), below, near) : below;
    return new Expr.Choose(truth.surelyAbove(), above, rest);
  }

  /** Whether the reading may come up past the limit, time aside. */
  Expr mayRise() {
    return isPassed ? is(TO_RISE, UNSETTLED_BELOW, UNSETTLED_ABOVE, NEAR) : Expr.FALSE;
  }

  /** Whether the reading may go down past the limit, time aside. */
  Expr mayFall() {
    return isPassed ? is(TO_FALL, UNSETTLED_BELOW, UNSETTLED_ABOVE, NEAR) : Expr.FALSE;
  }

  /** The ways past the limit, upwards or downwards. */
  List<Passage> passages(boolean up) {
    if (!isPassed) {
      return List.of();
    }
    Expr may = up ? mayRise() : mayFall();
    if (lowMicros() == 0) {
      return List.of(new Passage(may, null));
    }
    Bound earliest = parts.bound(lowMicros());
    if (!hasDeadBand()) {
      return List.of(new Passage(may, new Timing(anyClock, earliest, null)));
    }
    var first = new Timing(up ? riseClock : fallClock, earliest, null);
    return List.of(
        new Passage(is(up ? TO_RISE : TO_FALL), first),
        new Passage(is(UNSETTLED_BELOW, UNSETTLED_ABOVE, NEAR), null));
  }

  private Expr is(int... values) {
    long set = 0;
    for (int v : values) {
      set |= v == NEAR && !hasDeadBand() ? 0 : 1L << v;
    }
    return Meanings.in(kept, set);
  }

  private static Expr constant(int value) {
    return new Expr.Constant(value);
  }
}
