package stoplog.dsl.resolve;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Closest;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.LogicItem;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.Word;
import stoplog.model.Variable;

/** The names that {@link Declarer} finds in the logic for what is remembered there. */
final class LogicDeclarer {
  /** Numbers of memories are counted from 0 up to this; far beyond any count of a plant. */
  private static final int MAX_NUMBER = 1_000_000;

  /** A counter counts from 0 to this at most. */
  private static final int MAX_COUNT = Variable.MAX_VALUES - 1;

  private final Scope scope;
  private final Quantities quantities;
  private final List<Diagnostic> diagnostics;

  LogicDeclarer(Scope scope, Quantities quantities, List<Diagnostic> diagnostics) {
    this.scope = scope;
    this.quantities = quantities;
    this.diagnostics = diagnostics;
  }

  void memory(LogicItem.Memory m) {
    Quantity low = m.low();
    Quantity high = m.high();
    List<String> values = low == null || high == null ? words(m) : numbers(m, low, high);
    Integer first = low == null ? null : Integer.valueOf(values.getFirst());
    Word starts = m.starts();
    int start = starts == null ? 0 : values.indexOf(starts.text());
    if (starts != null && start < 0) {
      Diagnostic d =
          Diagnostic.of(
                  Code.UNKNOWN_STATE, starts.span(), m.name() + " is never `" + starts + "`")
              .withLabel("can be " + told(values, first));
      diagnostics.add(first == null ? Closest.suggested(d, starts.text(), values) : d);
    }
    scope.add(
        new Symbol.Memory(m.name(), m.text(), m.retained(), values, first, Math.max(0, start)));
  }

  /** The values of a memory, as told to a person. */
  static String told(List<String> values, @Nullable Integer low) {
    return low == null
        ? String.join(", ", values)
        : values.getFirst() + " to " + values.getLast();
  }

  private List<String> words(LogicItem.Memory m) {
    Set<String> values = new LinkedHashSet<>();
    for (Word w : m.values()) {
      if (!values.add(w.text())) {
        diagnostics.add(
            Diagnostic.of(Code.STATED_TWICE, w.span(), "value `" + w + "` is stated twice"));
      }
    }
    List<String> list = List.copyOf(values);
    if (list.size() > Variable.MAX_VALUES) {
      tooMany(m);
      return list.subList(0, Variable.MAX_VALUES);
    }
    return list;
  }

  private List<String> numbers(LogicItem.Memory m, Quantity low, Quantity high) {
    int least = quantities.count(low, 0, MAX_NUMBER, "numbers of a memory");
    int most = quantities.count(high, 0, MAX_NUMBER, "numbers of a memory");
    if (least > most) {
      quantities.upsideDown(m.span());
      most = least;
    } else if (most - least >= Variable.MAX_VALUES) {
      tooMany(m);
      most = least + MAX_COUNT;
    }
    var numbers = new ArrayList<String>();
    for (int n = least; n <= most; n++) {
      numbers.add(Integer.toString(n));
    }
    return numbers;
  }

  private void tooMany(LogicItem.Memory m) {
    diagnostics.add(
        Diagnostic.of(
            Code.NOT_A_COUNT,
            m.name().span(),
            "a memory has at most " + Variable.MAX_VALUES + " values"));
  }

  void counter(LogicItem.Counter c) {
    int to = quantities.count(c.to(), 1, MAX_COUNT, "counts");
    if (c.to().value().compareTo(BigDecimal.valueOf(MAX_COUNT)) > 0) {
      to = MAX_COUNT; // One that is too large was told: comparisons with it are no second error.
    }
    scope.add(new Symbol.Counter(c.name(), c.text(), c.retained(), to));
  }

  void duty(LogicItem.Duty d) {
    scope.add(new Symbol.Duty(d.name(), d.text(), d.retained(), d.tags()));
  }

  void alarm(LogicItem.Alarm a) {
    scope.add(new Symbol.Alarm(a.tag(), a.text(), a.latched(), null));
  }

  void group(LogicItem.AlarmGroup g) {
    var alarms = new ArrayList<Symbol.Alarm>();
    for (LogicItem.Alarm a : g.alarms()) {
      var alarm = new Symbol.Alarm(a.tag(), a.text(), a.latched(), g.name());
      scope.add(alarm);
      alarms.add(alarm);
    }
    if (alarms.size() > MAX_COUNT) {
      diagnostics.add(
          Diagnostic.of(
              Code.NOT_A_COUNT,
              g.name().span(),
              "an alarm group has at most " + MAX_COUNT + " alarms"));
    }
    scope.add(new Symbol.AlarmGroup(g.name(), g.text(), g.firstOut(), alarms));
  }
}
