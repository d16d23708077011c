package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.Expression.Compared;
import stoplog.dsl.tree.Expression.Is;
import stoplog.dsl.tree.Expression.Relation;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/** Expressions about what the logic remembers: memories, counters, duties and alarms. */
final class KeptTerms {
  private static final String FIRST = "first";

  /** What can be said of an alarm, and in which of its states it is so. */
  private static final Map<String, Long> ALARM_WORDS = new LinkedHashMap<>();

  static {
    ALARM_WORDS.put("active", 0b00110L);
    ALARM_WORDS.put("standing", 0b11110L);
    ALARM_WORDS.put("normal", 0b00001L);
    ALARM_WORDS.put("unacknowledged", 0b01010L);
    ALARM_WORDS.put("acknowledged", 0b00100L);
    ALARM_WORDS.put("returned", 0b01000L);
    ALARM_WORDS.put("latched", 0b10000L);
  }

  private final TermResolver terms;
  private final Scope scope;
  private final Quantities quantities;
  private final List<Diagnostic> diagnostics;
  private @Nullable Map<String, Symbol.Duty> duties;

  KeptTerms(
      TermResolver terms, Scope scope, Quantities quantities, List<Diagnostic> diagnostics) {
    this.terms = terms;
    this.scope = scope;
    this.quantities = quantities;
    this.diagnostics = diagnostics;
  }

  /** Its name alone. */
  Term named(Symbol.Kept kept, Span span, View view) {
    return switch (kept) {
      case Symbol.Alarm a -> alarm(a, "active", span, view);
      case Symbol.AlarmGroup g ->
          terms.wrongUse(
              span, g, "say what is meant of its alarms", "`" + g.name() + " is standing`");
      case Symbol.Memory m ->
          m.low() == null
              ? terms.wrongUse(
                  span,
                  m,
                  "say which value is meant",
                  "`" + m.name() + " is " + m.values().getFirst() + "`")
              : comparedWith(m, m.low() + 1, span);
      case Symbol.Counter c -> comparedWith(c, c.to(), span);
      case Symbol.Duty d ->
          terms.wrongUse(
              span, d, "say whose turn is meant", "`" + d.tags().getFirst() + " is duty`");
    };
  }

  private Term comparedWith(Symbol.Kept kept, int number, Span span) {
    return terms.wrongUse(
        span, kept, "compare it with a number", "`" + kept.name() + " >= " + number + "`");
  }

  private Term alarm(Symbol.Alarm a, String word, Span span, View view) {
    long states = java.util.Objects.requireNonNull(ALARM_WORDS.get(word));
    return valued(a, a.name().text(), states, span, view);
  }

  private Term valued(Symbol.Kept of, String variable, long values, Span span, View view) {
    return terms.field(new Term.Valued(of, variable, values, span), view, of);
  }

  /** {@code kept is STATE}, the negation left out. */
  Term is(Symbol.Kept kept, Is i, View view) {
    String word = i.state().text();
    boolean plain = i.aspect() == Expression.Aspect.ACTUAL;
    return switch (kept) {
      case Symbol.Alarm a when plain && word.equals(FIRST) -> first(a, i, view);
      case Symbol.Alarm a ->
          plain && wordsOf(List.of(a)).contains(word)
              ? alarm(a, word, i.span(), view)
              : terms.unknownState(i, a.name().text(), wordsOf(List.of(a)));
      case Symbol.AlarmGroup g ->
          plain && wordsOf(g.alarms()).contains(word)
              ? group(g, word, i.span(), view)
              : terms.unknownState(i, g.name().text(), wordsOf(g.alarms()));
      case Symbol.Memory m when plain && m.low() == null && m.values().contains(word) ->
          valued(m, m.name().text(), 1L << m.values().indexOf(word), i.span(), view);
      case Symbol.Memory m when m.low() == null ->
          terms.unknownState(i, m.name().text(), m.values());
      case Symbol.Memory m -> comparedWith(m, m.low() + 1, i.span());
      case Symbol.Counter c when plain && word.equals("full") ->
          valued(c, c.name().text(), 1L << c.to(), i.span(), view);
      case Symbol.Counter c when plain && word.equals("empty") ->
          valued(c, c.name().text(), 1, i.span(), view);
      case Symbol.Counter c ->
          terms.unknownState(i, c.name().text(), List.of("full", "empty"));
      case Symbol.Duty d -> named(d, i.span(), view);
    };
  }

  /** An alarm that is not latched never waits for a reset. */
  private static List<String> wordsOf(List<Symbol.Alarm> alarms) {
    var words = new ArrayList<>(ALARM_WORDS.keySet());
    if (alarms.stream().noneMatch(Symbol.Alarm::latched)) {
      words.remove("latched");
    }
    return words;
  }

  private Term group(Symbol.AlarmGroup g, String word, Span span, View view) {
    var each = new ArrayList<Term>();
    g.alarms().forEach(a -> each.add(alarm(a, word, span, view)));
    // A group is normal if all its alarms are; everything else is so if it is of one of them.
    return word.equals("normal") ? new Term.All(each, span) : new Term.Any(each, span);
  }

  private Term first(Symbol.Alarm a, Is i, View view) {
    Word group = a.group();
    if (group != null
        && scope.peek(group.text()) instanceof Symbol.AlarmGroup g
        && g.firstOut()) {
      int index = g.alarms().indexOf(a) + 1;
      return valued(a, Keeping.firstOf(group), 1L << index, i.span(), view);
    }
    diagnostics.add(
        Diagnostic.of(
                Code.UNKNOWN_STATE, i.state().span(), "nothing remembers whether " + a.name()
                    + " came first")
            .withRelated(a.name().span(), "declared here")
            .withFix(
                group == null
                    ? "`alarm group x first-out { ... }` around the alarms that are meant"
                    : "`alarm group " + group + " first-out { ... }`"));
    return new Term.Broken(i.span());
  }

  /** {@code equipment is duty}. */
  Term duty(Symbol.Equipment e, Is i, View view) {
    if (duties == null) {
      duties = new LinkedHashMap<>();
      for (Symbol s : scope.all()) {
        if (s instanceof Symbol.Duty d) {
          d.tags().forEach(t -> duties.putIfAbsent(t.text(), d));
        }
      }
    }
    Symbol.Duty duty = duties.get(e.name().text());
    if (duty != null) {
      int turn = duty.tags().indexOf(tagIn(duty, e));
      return valued(duty, duty.name().text(), 1L << turn, i.span(), view);
    }
    diagnostics.add(
        Diagnostic.of(Code.UNKNOWN_STATE, i.state().span(), e.name() + " takes no turns")
            .withRelated(e.name().span(), "declared here")
            .withFix("`duty x: " + e.name() + ", ...; alternates when ...` in the logic"));
    return new Term.Broken(i.span());
  }

  private static Word tagIn(Symbol.Duty duty, Symbol.Equipment e) {
    for (Word tag : duty.tags()) {
      if (tag.text().equals(e.name().text())) {
        return tag;
      }
    }
    throw new IllegalStateException(e.name() + " in " + duty.name());
  }

  /** The number of the first value of what has numbers for values; {@code null} for others. */
  private static @Nullable Integer low(Symbol symbol) {
    return switch (symbol) {
      case Symbol.Memory m -> m.low();
      case Symbol.Counter c -> Integer.valueOf(0);
      default -> null;
    };
  }

  private static int high(Symbol symbol) {
    return switch (symbol) {
      case Symbol.Memory m when m.low() != null -> m.low() + m.values().size() - 1;
      case Symbol.Counter c -> c.to();
      default -> throw new IllegalStateException(symbol + " has no numbers");
    };
  }

  /** {@code tries >= 3}, or a comparison with another number that is remembered. */
  Term compared(Symbol.Kept kept, Compared c, View view) {
    Integer low = low(kept);
    if (low == null) {
      return terms.wrongUse(c.span(), kept, "it has no numbers to compare", "");
    }
    if (c.setpoint() != null) {
      return comparedNumbers(kept, c, c.setpoint(), view);
    }
    Quantity q = java.util.Objects.requireNonNull(c.value());
    if (q.unit() != null) {
      diagnostics.add(
          Diagnostic.of(
                  Code.WRONG_UNIT, q.unit().span(), "`" + kept.name() + "` is a plain number")
              .withLabel("has no unit")
              .withRelated(kept.name().span(), "declared here"));
      return new Term.Broken(c.span());
    }
    int number = quantities.count(q, low, high(kept), "values of " + kept.name());
    long values = where(c.relation(), number, low, high(kept));
    return valued(kept, kept.name().text(), values, c.span(), view);
  }

  private Term comparedNumbers(Symbol.Kept kept, Compared c, Word other, View view) {
    Symbol found = scope.find(other);
    if (found == null) {
      return new Term.Broken(c.span());
    }
    Integer low = low(found);
    if (low == null || !(found instanceof Symbol.Kept second)) {
      return terms.wrongUse(
          other.span(), found, kept.name() + " is compared with a plain number", "");
    }
    int first = java.util.Objects.requireNonNull(low(kept));
    var cases = new ArrayList<Term>();
    for (int n = low; n <= high(second); n++) {
      long values = where(c.relation(), n, first, high(kept));
      if (values != 0) {
        cases.add(
            new Term.All(
                List.of(
                    valued(kept, kept.name().text(), values, c.span(), view),
                    valued(second, other.text(), 1L << (n - low), c.span(), view)),
                c.span()));
      }
    }
    return new Term.Any(cases, c.span());
  }

  /** The values that stand in a relation to a number, of those from {@code low} to {@code high}. */
  private static long where(Relation relation, int number, int low, int high) {
    long values = 0;
    for (int n = low; n <= high; n++) {
      boolean so =
          switch (relation) {
            case BELOW -> n < number;
            case AT_MOST -> n <= number;
            case ABOVE -> n > number;
            case AT_LEAST -> n >= number;
          };
      values |= so ? 1L << (n - low) : 0;
    }
    return values;
  }
}
