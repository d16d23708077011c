package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant.Free;
import stoplog.dsl.resolve.ResolvedPlant.LevelProcess;
import stoplog.dsl.resolve.ResolvedPlant.Movement;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.Word;

/** One level or analog value: its ends, its rates and its free movements. */
final class LevelResolver {
  private final Quantities quantities;
  private final TermResolver terms;
  private final List<Diagnostic> diagnostics;
  private final List<Movement> movements = new ArrayList<>();
  private final List<Free> free = new ArrayList<>();
  private @Nullable Ratio least;
  private @Nullable Ratio most;

  LevelResolver(Quantities quantities, TermResolver terms, List<Diagnostic> diagnostics) {
    this.quantities = quantities;
    this.terms = terms;
    this.diagnostics = diagnostics;
  }

  LevelProcess resolve(Declaration.Level l, Symbol.Level s) {
    Declaration.Extent extent = l.extent();
    if (extent != null) {
      least = s.unit().toBase(Ratio.of(extent.low().value()));
      most = s.unit().toBase(Ratio.of(extent.high().value()));
      if (least.compareTo(most) >= 0) {
        quantities.upsideDown(extent.span());
      }
    }
    for (Declaration.Moving moving : l.movements()) {
      switch (moving) {
        case Declaration.Movement m -> movement(m, s, extent);
        case Declaration.Rate r -> rate(r, s);
        case Declaration.Free f ->
            free.add(
                new Free(
                    f.gradual(),
                    f.during() == null ? null : terms.resolve(f.during(), View.PROCESS),
                    f.span()));
      }
    }
    if (!movements.isEmpty() && (least == null || most == null)) {
      diagnostics.add(
          Diagnostic.of(Code.NO_SPAN, s.name().span(), "nothing says where " + s.name() + " ends")
              .withWhy("what moves at a rate must stop somewhere")
              .withFix("`in " + s.unit() + " from 0 to 100`"));
      least = Ratio.ZERO;
      most = Ratio.ONE;
    }
    rateWithoutEffect();
    return new LevelProcess(s, least, most, movements, free, start(l, s), l.span());
  }

  private void movement(
      Declaration.Movement m, Symbol.Level s, Declaration.@Nullable Extent extent) {
    TimeWindow time = quantities.timeWindow(m.time(), "time");
    Term during = terms.resolve(m.during(), View.PROCESS);
    Ratio from = s.unit().toBase(Ratio.of(m.from().value()));
    Ratio to = s.unit().toBase(Ratio.of(m.to().value()));
    if (from.equals(to)) {
      diagnostics.add(
          Diagnostic.of(Code.NO_MOVEMENT, m.to().span(), "this movement ends where it begins"));
      return;
    } else if (time.lowMicros() == 0) {
      diagnostics.add(
          Diagnostic.of(Code.NO_TIME, m.time().low().span(), "a movement takes some time")
              .withLabel("must be longer than nothing"));
      return;
    }
    if (extent == null) {
      reaches(from);
      reaches(to);
    } else {
      within(from, m.from(), extent);
      within(to, m.to(), extent);
    }
    Ratio way = to.minus(from);
    Ratio slow = way.dividedBy(Ratio.of(time.highMicros()));
    Ratio fast = way.dividedBy(Ratio.of(time.lowMicros()));
    movements.add(new Movement(slow, fast, time, during, m.span()));
  }

  private void reaches(Ratio value) {
    least = least == null || value.compareTo(least) < 0 ? value : least;
    most = most == null || value.compareTo(most) > 0 ? value : most;
  }

  private void within(Ratio value, Quantity at, Declaration.Extent extent) {
    if (least != null
        && most != null
        && (value.compareTo(least) < 0 || value.compareTo(most) > 0)) {
      diagnostics.add(
          Diagnostic.of(Code.OUTSIDE_SPAN, at.span(), "this movement leads out of the span")
              .withRelated(extent.span(), "the span"));
    }
  }

  private void rate(Declaration.Rate r, Symbol.Level s) {
    Term during = terms.resolve(r.during(), View.PROCESS);
    Quantity high = r.rate().high();
    if (high == null) {
      quantities.notAWindow(r.rate());
      return;
    }
    Quantity low = r.rate().low();
    PerTime perTime = perTime(high, high.unit(), s.unit());
    PerTime lowPerTime =
        low.unit() == null || perTime == null ? perTime : perTime(low, low.unit(), s.unit());
    if (perTime == null || lowPerTime == null) {
      return;
    }
    Ratio slow = lowPerTime.rate(low);
    Ratio fast = perTime.rate(high);
    if (slow.signum() < 0 || fast.signum() <= 0) {
      boolean backwards = slow.signum() < 0;
      diagnostics.add(
          Diagnostic.of(
                  Code.NOT_POSITIVE,
                  backwards ? low.span() : high.span(),
                  "a rate is more than nothing")
              .withFix(!backwards ? "" : r.rising() ? "`falls at ...`" : "`rises at ...`"));
      return;
    } else if (slow.compareTo(fast) > 0) {
      quantities.upsideDown(r.rate().span());
      return;
    }
    long micros = perTime.time().factor().floor().longValueExact();
    movements.add(
        new Movement(
            r.rising() ? slow : slow.negated(),
            r.rising() ? fast : fast.negated(),
            new TimeWindow(micros, micros, r.rate().span()),
            during,
            r.span()));
  }

  /** A unit of a rate. */
  private record PerTime(Unit amount, Unit time) {
    /** In base units per microsecond; a difference, so the offset of the unit plays no part. */
    Ratio rate(Quantity q) {
      return Ratio.of(q.value()).times(amount.factor()).dividedBy(time.factor());
    }
  }

  /** The unit before and behind its last stroke; {@code null} if it is no rate, which is told. */
  private @Nullable PerTime perTime(Quantity q, @Nullable Word word, Unit wanted) {
    String example = wanted + "/s or " + wanted + "/min";
    if (word == null) {
      diagnostics.add(
          Diagnostic.of(Code.NO_UNIT, q.span(), "this rate has no unit")
              .withLabel("needs " + example)
              .withFix(q.value().toPlainString() + " " + wanted + "/s"));
      return null;
    }
    int stroke = word.text().lastIndexOf('/');
    Unit amount = stroke < 0 ? null : Unit.named(word.text().substring(0, stroke));
    Unit time = stroke < 0 ? null : Unit.named(word.text().substring(stroke + 1));
    if (amount == null
        || time == null
        || !amount.measures(wanted.dimension())
        || !time.measures(Unit.TIME)) {
      diagnostics.add(
          Diagnostic.of(
                  Code.WRONG_UNIT,
                  word.span(),
                  "`" + word + "` does not measure how fast " + wanted.dimension() + " changes")
              .withLabel("needs " + example));
      return null;
    }
    return new PerTime(amount, time);
  }

  private void rateWithoutEffect() {
    for (Free f : free) {
      if (f.during() == null && !movements.isEmpty()) {
        diagnostics.add(
            Diagnostic.of(
                    Code.RATE_WITHOUT_EFFECT,
                    f.span(),
                    "this makes the rates of the value say nothing")
                .withRelated(movements.getFirst().span(), "a rate")
                .withWhy("a value that moves at any time need not keep to a rate")
                .withFix("`while ...`, for when it moves freely"));
        return;
      }
    }
  }

  private @Nullable Ratio start(Declaration.Level l, Symbol.Level s) {
    Ratio start = null;
    for (Quantity q : l.startsAt()) {
      if (start != null) {
        diagnostics.add(Diagnostic.of(Code.STATED_TWICE, q.span(), "the start is stated twice"));
        break;
      }
      start = quantities.value(q, q.unit(), s.unit(), s.name().text());
      boolean outside =
          start != null
              && ((least != null && start.compareTo(least) < 0)
                  || (most != null && start.compareTo(most) > 0));
      if (outside) {
        diagnostics.add(
            Diagnostic.of(
                    Code.OUTSIDE_SPAN,
                    q.span(),
                    "the " + (s.isAnalog() ? "value" : "level") + " starts outside its span")
                .withWhy("no movement ever leads there"));
      }
    }
    return start;
  }
}
