package stoplog.dsl.resolve;

import java.math.BigDecimal;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Closest;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.Window;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/** Numbers with units, made exact values in base units. What is wrong with them is told once. */
final class Quantities {
  private static final String TIMES = "ms, s, min or h";

  private final List<Diagnostic> diagnostics;

  Quantities(List<Diagnostic> diagnostics) {
    this.diagnostics = diagnostics;
  }

  /** The unit; if it is not known, that is told. */
  @Nullable Unit unit(Word word) {
    return unit(word, "one of " + String.join(", ", Unit.symbols()));
  }

  private @Nullable Unit unit(Word word, String known) {
    Unit unit = Unit.named(word.text());
    if (unit == null) {
      Diagnostic d =
          Diagnostic.of(Code.UNKNOWN_UNIT, word.span(), "`" + word + "` is no unit known here");
      diagnostics.add(Closest.suggested(d.withFix(known), word.text(), Unit.symbols()));
    }
    return unit;
  }

  /** A time in microseconds, longer than nothing; {@code null} if it is none, which is told. */
  @Nullable Long time(Quantity q, String what) {
    Long micros = timeOrZero(q, q.unit(), what);
    return micros != null && micros == 0 ? noTime(q.span(), what) : micros;
  }

  /** A time in microseconds, 0 included. */
  @Nullable Long timeOrZero(Quantity q, @Nullable Word unitWord, String what) {
    if (unitWord == null) {
      // Hundreds of seconds are rare, hundreds of milliseconds are not.
      String likely = q.value().compareTo(BigDecimal.valueOf(100)) < 0 ? " s" : " ms";
      String example =
          (what.equals("delay") ? "for " : "") + q.value().toPlainString() + likely;
      diagnostics.add(
          Diagnostic.of(Code.DELAY_WITHOUT_UNIT, q.span(), "this " + what + " has no unit")
              .withLabel("needs " + TIMES)
              .withWhy(
                  q.value().toPlainString()
                      + " ms and "
                      + q.value().toPlainString()
                      + " min are different plants")
              .withFix(example));
      return null;
    }
    Unit unit = unit(unitWord, TIMES);
    if (unit == null) {
      return null;
    }
    if (!unit.measures(Unit.TIME)) {
      diagnostics.add(
          Diagnostic.of(Code.WRONG_UNIT, unitWord.span(), "`" + unit + "` does not measure a time")
              .withLabel("needs " + TIMES)
              .withWhy("this is a " + what + ", and `" + unit + "` measures " + unit.dimension())
              .withFix(unit.toString().equals("m") ? "min" : ""));
      return null;
    }
    Ratio micros = unit.toBase(Ratio.of(q.value()));
    if (micros.signum() < 0) {
      return noTime(q.span(), what);
    }
    if (!micros.isWhole()) {
      diagnostics.add(
          Diagnostic.of(Code.TOO_FINE, q.span(), "this " + what + " is finer than a microsecond")
              .withWhy("times are whole microseconds")
              .withFix(micros.ceiling() + " us"));
      return null;
    }
    if (micros.floor().bitLength() > 62) {
      diagnostics.add(Diagnostic.of(Code.TOO_LONG, q.span(), "this " + what + " is too long"));
      return null;
    }
    return micros.floor().longValueExact();
  }

  private @Nullable Long noTime(Span span, String what) {
    diagnostics.add(
        Diagnostic.of(Code.NO_TIME, span, "this " + what + " must be longer than nothing"));
    return null;
  }

  /** A window of time whose upper end is longer than nothing; a harmless one if it is wrong. */
  TimeWindow timeWindow(Window w, String what) {
    Quantity high = w.high();
    if (high == null) {
      notAWindow(w);
      return TimeWindow.broken(w.span());
    }
    Long most = time(high, what);
    Word lowUnit = w.low().unit() == null ? high.unit() : w.low().unit();
    Long least = most == null ? null : timeOrZero(w.low(), lowUnit, what);
    if (most == null || least == null) {
      return TimeWindow.broken(w.span());
    }
    if (least > most) {
      upsideDown(w.span());
      return TimeWindow.broken(w.span());
    }
    return new TimeWindow(least, most, w.span());
  }

  void notAWindow(Window w) {
    String number = w.low().value().toPlainString();
    String unit = w.low().unit() == null ? "" : " " + w.low().unit();
    diagnostics.add(
        Diagnostic.of(Code.NOT_A_WINDOW, w.span(), "this window has one end only")
            .withLabel("needs two numbers, least and most")
            .withWhy("a plant is proved for every time of the window, from the least to the most")
            .withFix(
                "0.." + number + unit + ", or " + number + ".." + number + unit + " if exact"));
  }

  void upsideDown(Span span) {
    diagnostics.add(
        Diagnostic.of(Code.UPSIDE_DOWN, span, "this window is upside down")
            .withLabel("the smaller number comes first"));
  }

  /** A value in the base unit of a dimension; {@code null} if it is none, which is told. */
  @Nullable Ratio value(Quantity q, @Nullable Word unitWord, Unit wanted, String of) {
    if (unitWord == null) {
      diagnostics.add(
          Diagnostic.of(Code.NO_UNIT, q.span(), "this value has no unit")
              .withLabel("needs " + wanted)
              .withFix(q.value().toPlainString() + " " + wanted));
      return null;
    }
    Unit unit = unit(unitWord, String.join(", ", Unit.symbolsOf(wanted.dimension())));
    if (unit == null) {
      return null;
    }
    if (!unit.measures(wanted.dimension())) {
      diagnostics.add(
          Diagnostic.of(
                  Code.WRONG_UNIT,
                  unitWord.span(),
                  "`" + unit + "` does not measure " + wanted.dimension())
              .withLabel("needs " + String.join(", ", Unit.symbolsOf(wanted.dimension())))
              .withWhy(of + " is " + wanted.dimension() + " in " + wanted));
      return null;
    }
    return unit.toBase(Ratio.of(q.value()));
  }

  /** A whole number in a range; the lowest of the range if it is none, which is told. */
  int count(Quantity q, int low, int high, String what) {
    BigDecimal v = q.value();
    boolean whole = v.stripTrailingZeros().scale() <= 0;
    if (!whole
        || v.compareTo(BigDecimal.valueOf(low)) < 0
        || v.compareTo(BigDecimal.valueOf(high)) > 0) {
      diagnostics.add(
          Diagnostic.of(
              Code.NOT_A_COUNT,
              q.span(),
              what + " must be whole numbers from " + low + " to " + high));
      return low;
    }
    return v.intValueExact();
  }
}
