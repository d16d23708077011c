package stoplog.dsl.lower;

import java.util.List;
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

/** Switches, and what all instruments share: the lag, and the truth they follow. */
final class InstrumentLowering {
  private final Parts parts;
  private final Meanings meanings;

  InstrumentLowering(Parts parts, Meanings meanings) {
    this.parts = parts;
    this.meanings = meanings;
  }

  /** A reading that becomes what it follows within its lag; without lag it is what it follows. */
  void lower(Following s) {
    String tag = s.instrument().name().text();
    Expr truth = truth(tag, s.follows());
    TimeWindow lag = s.lag();
    Expr reading =
        lag == null
            ? parts.define(tag, truth, s.instrument().text(), s.span())
            : lagging(s, tag, truth, lag);
    meanings.truth(s.instrument(), reading);
    Integer behind = meanings.variableBehind(truth);
    parts.indications.add(new Indication(reading, truth, tag, behind == null ? -1 : behind));
  }

  private Expr lagging(Following s, String tag, Expr truth, TimeWindow lag) {
    return lagging(tag, s.instrument().text(), truth, lag, s.span());
  }

  /** A contact that makes and drops within its lag after the truth does. */
  Expr lagging(String tag, String text, Expr truth, TimeWindow lag, Span at) {
    int reading = parts.flag(tag, Role.INSTRUMENT, "off", "on", text, at);
    Expr on = Expr.is(reading, 1);
    parts.start.add(new Assignment(reading, truth, at));
    Expr differs = Expr.not(new Expr.Same(new Expr.Read(reading), truth));
    Timing timing = lag(tag, differs, lag);
    parts.change(
        tag + " makes",
        Cause.INSTRUMENT,
        Expr.all(Expr.not(on), truth),
        timing,
        List.of(Parts.set(reading, 1, at)),
        at);
    parts.change(
        tag + " drops",
        Cause.INSTRUMENT,
        Expr.all(on, Expr.not(truth)),
        timing,
        List.of(Parts.set(reading, 0, at)),
        at);
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
