package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant.Cause;
import stoplog.dsl.resolve.ResolvedPlant.Caused;
import stoplog.dsl.resolve.ResolvedPlant.Counting;
import stoplog.dsl.resolve.ResolvedPlant.LevelProcess;
import stoplog.dsl.resolve.ResolvedPlant.Transmitting;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Declaration.Initially;
import stoplog.dsl.tree.Quantity;
import stoplog.model.Variable;
import stoplog.source.Span;

/** The process and its transmitters, of {@link Resolver}. */
final class ProcessResolver {
  final List<LevelProcess> levels = new ArrayList<>();
  final List<Caused> caused = new ArrayList<>();
  final List<Counting> counts = new ArrayList<>();
  final List<Transmitting> transmitters = new ArrayList<>();

  private final Scope scope;
  private final Quantities quantities;
  private final TermResolver terms;
  private final List<Diagnostic> diagnostics;

  ProcessResolver(
      Scope scope, Quantities quantities, TermResolver terms, List<Diagnostic> diagnostics) {
    this.scope = scope;
    this.quantities = quantities;
    this.terms = terms;
    this.diagnostics = diagnostics;
  }

  // ---- conditions and counts

  void condition(Declaration.Condition c) {
    List<Cause> causes = causes(c.causes(), false);
    long initially = 3;
    for (Initially i : once(c.initially())) {
      initially =
          switch (i.how().text()) {
            case "absent" -> 1;
            case "present" -> 2;
            default -> {
              wrongCause(i.span(), "a condition is present or absent", "`initially absent`");
              yield 3;
            }
          };
    }
    if (scope.declaredAt(c.name()) instanceof Symbol.Condition s) {
      caused.add(new Caused(s, causes, initially, c.span()));
    }
  }

  void count(Declaration.Count c) {
    List<Cause> causes = causes(c.causes(), true);
    if (!(scope.declaredAt(c.name()) instanceof Symbol.Count s)) {
      return;
    }
    int size = s.high() - s.low() + 1;
    long initially = -1L >>> (Variable.MAX_VALUES - size);
    for (Initially i : once(c.initially())) {
      String how = i.how().text();
      if (!Character.isDigit(how.charAt(0))) {
        wrongCause(i.span(), "a count is a number", "`initially " + s.low() + "`");
        continue;
      }
      var value = new Quantity(new java.math.BigDecimal(how), null, i.how().span());
      int start =
          quantities.count(value, s.low(), s.high(), "numbers of `" + s.name() + "`");
      initially = 1L << (start - s.low());
    }
    counts.add(new Counting(s, causes, initially, c.span()));
  }

  /** The symbol of a count; {@code null} if its numbers are wrong, which is told. */
  static Symbol.@Nullable Count count(Declaration.Count c, List<Diagnostic> diagnostics) {
    var most = java.math.BigDecimal.valueOf(1_000_000_000);
    boolean whole =
        c.low().value().stripTrailingZeros().scale() <= 0
            && c.high().value().stripTrailingZeros().scale() <= 0
            && c.high().value().compareTo(most) <= 0;
    if (c.low().value().compareTo(c.high().value()) > 0) {
      Span low = c.low().span();
      new Quantities(diagnostics)
          .upsideDown(new Span(low.file(), low.start(), c.high().span().end()));
      return null;
    }
    boolean few =
        c.high().value().subtract(c.low().value()).intValue() < Variable.MAX_VALUES;
    if (!whole || !few) {
      diagnostics.add(
          Diagnostic.of(
                  Code.NOT_A_COUNT,
                  c.high().span(),
                  whole ? "a count has at most 64 values" : "a count goes from a whole number to "
                      + "a whole number")
              .withFix(whole ? "count in fives or in boxes" : ""));
      return null;
    }
    return new Symbol.Count(
        c.name(), c.text(), c.low().value().intValueExact(), c.high().value().intValueExact());
  }

  private List<Cause> causes(List<Declaration.Cause> written, boolean stepwise) {
    var causes = new ArrayList<Cause>();
    for (Declaration.Cause c : written) {
      if (c.stepwise() != stepwise) {
        String may = c.within() == null ? "may" : "must";
        String verb = stepwise ? (c.up() ? "rise" : "fall") : (c.up() ? "start" : "end");
        wrongCause(
            c.span(),
            stepwise ? "a count rises and falls" : "a condition starts and ends",
            "`" + may + " " + verb + " ... when ...`");
        continue;
      }
      TimeWindow within = c.within() == null ? null : quantities.timeWindow(c.within(), "time");
      causes.add(new Cause(c.up(), within, terms.resolve(c.when(), View.PROCESS), c.span()));
    }
    return causes;
  }

  private void wrongCause(Span span, String message, String fix) {
    diagnostics.add(Diagnostic.of(Code.WRONG_CAUSE, span, message).withFix(fix));
  }

  private List<Initially> once(List<Initially> written) {
    if (written.size() > 1) {
      diagnostics.add(
          Diagnostic.of(Code.STATED_TWICE, written.get(1).span(), "the start is stated twice")
              .withRelated(written.get(0).span(), "first time"));
    }
    return written.subList(0, Math.min(1, written.size()));
  }

  // ---- levels and other values

  void level(Declaration.Level l) {
    if (scope.declaredAt(l.tag()) instanceof Symbol.Level s) {
      levels.add(new LevelResolver(quantities, terms, diagnostics).resolve(l, s));
    }
  }

  // ---- transmitters

  void transmitter(Declaration.Transmitter t) {
    Symbol followed = scope.find(t.follows());
    TimeWindow lag = t.lag() == null ? null : quantities.timeWindow(t.lag(), "lag");
    if (!(scope.declaredAt(t.tag()) instanceof Symbol.Transmitter s) || followed == null) {
      return;
    }
    if (!(followed instanceof Symbol.Level level)) {
      diagnostics.add(
          Diagnostic.of(
                  Code.WRONG_USE,
                  t.follows().span(),
                  "`" + followed.name() + "` is " + followed.what() + " and has no value to follow")
              .withRelated(followed.name().span(), "declared here")
              .withWhy("a transmitter follows a level or an analog value")
              .withFix(
                  followed instanceof Symbol.Condition
                      ? "`switch FS-1 follows " + followed.name() + "`"
                      : ""));
      return;
    }
    if (!s.unit().measures(level.unit().dimension())) {
      diagnostics.add(
          Diagnostic.of(
                  Code.WRONG_UNIT, t.unit().span(), "`" + s.unit() + "` does not measure "
                      + level.unit().dimension())
              .withRelated(level.name().span(), "is in " + level.unit())
              .withWhy(s.name() + " follows " + level.name()));
      return;
    }
    Ratio least = null;
    Ratio most = null;
    Declaration.Extent range = t.extent();
    if (range != null) {
      least = s.unit().toBase(Ratio.of(range.low().value()));
      most = s.unit().toBase(Ratio.of(range.high().value()));
      if (least.compareTo(most) >= 0) {
        quantities.upsideDown(range.span());
        return;
      }
    }
    Ratio dead = t.deadBand() == null ? Ratio.ZERO : deadBand(t.deadBand(), s);
    transmitters.add(new Transmitting(s, level, least, most, lag, dead, t.span()));
  }

  /** A difference, so the offset of a scale of temperature plays no part. */
  private Ratio deadBand(Quantity q, Symbol.Transmitter s) {
    Ratio value = quantities.value(q, q.unit(), s.unit(), s.name().text());
    Unit unit = q.unit() == null ? null : Unit.named(q.unit().text());
    if (value == null || unit == null) {
      return Ratio.ZERO;
    }
    if (q.value().signum() <= 0) {
      diagnostics.add(
          Diagnostic.of(Code.NOT_POSITIVE, q.span(), "a dead band is wider than nothing")
              .withFix("leave `dead band` out"));
      return Ratio.ZERO;
    }
    return Ratio.of(q.value()).times(unit.factor());
  }
}
