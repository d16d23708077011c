package stoplog.dsl.lower;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.lower.FaultLowering.Fault;
import stoplog.dsl.resolve.QualityResolver;
import stoplog.dsl.resolve.ResolvedPlant.Following;
import stoplog.dsl.resolve.Term;
import stoplog.dsl.resolve.TimeWindow;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Indication;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * Contacts (switches and the feedbacks of equipment), and what all instruments share: the lag, and
 * the truth they follow.
 */
final class InstrumentLowering {
  private final Parts parts;
  private final Meanings meanings;
  private final FaultLowering faults;

  InstrumentLowering(Parts parts, Meanings meanings, FaultLowering faults) {
    this.parts = parts;
    this.meanings = meanings;
    this.faults = faults;
  }

  /** A reading that becomes what it follows within its lag; without lag it is what it follows. */
  void lower(Following s) {
    String tag = s.instrument().name().text();
    Expr truth = truth(tag, s.follows());
    List<String> names = QualityResolver.faults(s.instrument());
    Fault fault = faults.declare(tag, names, s.span());
    boolean brokenIsOn = Boolean.FALSE.equals(s.instrument().normallyOpen());
    Expr reading =
        contact(tag, s.instrument().text(), truth, s.lag(), fault, brokenIsOn, s.span());
    meanings.truth(s.instrument(), reading);
    Integer behind = meanings.variableBehind(truth);
    parts.indications.add(new Indication(reading, truth, tag, behind == null ? -1 : behind));
  }

  /**
   * The reading of a feedback contact: it follows a truth value, at once or within its lag, and can
   * be stuck if that is asked for.
   */
  Expr feedback(String tag, String text, Expr truth, @Nullable TimeWindow lag, Span span) {
    Fault fault = faults.declare(tag, QualityResolver.CONTACT, span);
    return contact(tag, text, truth, lag, fault, false, span);
  }

  private Expr contact(
      String tag,
      String text,
      Expr truth,
      @Nullable TimeWindow lag,
      @Nullable Fault fault,
      boolean brokenIsOn,
      Span span) {
    if (lag != null) {
      return lagging(tag, text, truth, lag, fault, brokenIsOn, span);
    } else if (fault == null) {
      return parts.define(tag, truth, text, span);
    }
    Expr on = Expr.FALSE;
    Expr off = Expr.FALSE;
    for (String name : fault.names()) {
      boolean reads = readsOn(name, brokenIsOn);
      on = reads ? Expr.any(on, fault.is(name)) : on;
      off = reads ? off : Expr.any(off, fault.is(name));
      faults.strikes(fault, name, FaultLowering.words(tag, name), List.of());
    }
    return parts.define(tag, Expr.any(on, Expr.all(Expr.not(off), truth)), text, span);
  }

  private static boolean readsOn(String fault, boolean brokenIsOn) {
    return fault.equals(QualityResolver.STUCK_ON)
        || (fault.equals(QualityResolver.WIRE_BROKEN) && brokenIsOn);
  }

  private Expr lagging(
      String tag,
      String text,
      Expr truth,
      TimeWindow lag,
      @Nullable Fault fault,
      boolean brokenIsOn,
      Span span) {
    int reading = parts.flag(tag, Role.INSTRUMENT, "off", "on", text, span);
    Expr on = Expr.is(reading, 1);
    Expr sound = FaultLowering.sound(fault);
    parts.start.add(new Assignment(reading, truth, span));
    Expr differs = Expr.not(new Expr.Same(new Expr.Read(reading), truth));
    Timing timing = lag(tag, Expr.all(differs, sound), lag);
    parts.change(
        tag + " makes",
        Cause.INSTRUMENT,
        Expr.all(Expr.not(on), truth, sound),
        timing,
        List.of(Parts.set(reading, 1, span)),
        span);
    parts.change(
        tag + " drops",
        Cause.INSTRUMENT,
        Expr.all(on, Expr.not(truth), sound),
        timing,
        List.of(Parts.set(reading, 0, span)),
        span);
    if (fault != null) {
      for (String name : fault.names()) {
        int reads = readsOn(name, brokenIsOn) ? 1 : 0;
        faults.strikes(
            fault,
            name,
            FaultLowering.words(tag, name),
            List.of(Parts.set(reading, reads, span)));
      }
    }
    return on;
  }

  /** The window in which an instrument follows, on a clock that runs while it has not. */
  Timing lag(String tag, Expr running, TimeWindow lag) {
    Bound latest = parts.bound(lag.highMicros());
    int clock = parts.clock(tag + " lag", running, latest, lag.span());
    return new Timing(clock, parts.bound(lag.lowMicros()), latest);
  }

  /** What an instrument follows, as one truth value: several places read it. */
  Expr truth(String tag, Term follows) {
    Expr truth = meanings.of(follows);
    return switch (truth) {
      case Expr.Use u -> u;
      case Expr.In i -> i;
      case Expr.Constant c -> c;
      default -> parts.define(tag + ".follows", truth, "what " + tag + " follows", follows.span());
    };
  }
}
