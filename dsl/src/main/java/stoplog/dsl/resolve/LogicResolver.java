package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Closest;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.Statement.AtValue;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.LogicItem;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/** The statements of the logic that remember something, and the finer parts of a command. */
final class LogicResolver {
  /** Panel buttons that acknowledge alarms with no such line of their own, in this order. */
  private static final List<String> ACKNOWLEDGE = List.of("acknowledge", "ack");

  private final Scope scope;
  private final TermResolver terms;
  private final List<Diagnostic> diagnostics;
  private final Map<String, Word> dutyOf = new HashMap<>();

  LogicResolver(Scope scope, TermResolver terms, List<Diagnostic> diagnostics) {
    this.scope = scope;
    this.terms = terms;
    this.diagnostics = diagnostics;
  }

  /** {@code null} if another thing has the name, which was told. */
  @Nullable Keeping memory(LogicItem.Memory m) {
    return scope.declaredAt(m.name()) instanceof Symbol.Memory s
        ? new Keeping.Hold(s, m.span())
        : null;
  }

  /** {@code null} if this is no assignment to a memory, which is told. */
  Keeping.@Nullable Assign assign(LogicItem.Assign a) {
    Term when = a.when() == null ? null : term(a.when());
    Symbol target = scope.find(a.name());
    if (target == null) {
      return null;
    }
    if (!(target instanceof Symbol.Memory memory)) {
      diagnostics.add(
          Diagnostic.of(
                  Code.WRONG_USE,
                  a.name().span(),
                  "`" + a.name() + "` is " + target.what() + " and cannot be given a value")
              .withRelated(target.name().span(), "declared here")
              .withWhy("only a memory is given values: `memory x: ...`"));
      return null;
    }
    Keeping.Value value = value(memory, a.value());
    return value == null ? null : new Keeping.Assign(memory, value, when, a.span());
  }

  private Keeping.@Nullable Value value(Symbol.Memory memory, LogicItem.Assigned assigned) {
    Word word = assigned.value();
    int index = memory.values().indexOf(word.text());
    if (index >= 0 && assigned.by() == 0) {
      return new Keeping.Value(null, index);
    }
    Integer low = memory.low();
    boolean number = Character.isDigit(word.text().charAt(0));
    if (number || (low == null && scope.peek(word.text()) == null)) {
      return unknown(memory, word);
    }
    Symbol source = scope.find(word);
    if (source == null) {
      return null;
    }
    Integer sourceLow =
        switch (source) {
          case Symbol.Counter c -> Integer.valueOf(0);
          case Symbol.Memory m -> m.low();
          default -> null;
        };
    if (low != null && sourceLow != null) {
      return new Keeping.Value(word.text(), sourceLow + assigned.by() - low);
    }
    boolean same = source instanceof Symbol.Memory m && m.values().equals(memory.values());
    if (same && low == null && assigned.by() == 0) {
      return new Keeping.Value(word.text(), 0);
    }
    boolean summed = same && low == null;
    diagnostics.add(
        Diagnostic.of(
                Code.WRONG_USE,
                assigned.span(),
                summed
                    ? "`" + memory.name() + "` has words for values, to which nothing can be added"
                    : "`" + memory.name() + "` cannot take its value from `" + word + "`")
            .withRelated(memory.name().span(), "can be " + told(memory))
            .withWhy(summed ? "" : "`" + word + "` is " + source.what() + " of other values"));
    return null;
  }

  private Keeping.@Nullable Value unknown(Symbol.Memory memory, Word word) {
    Diagnostic d =
        Diagnostic.of(
                Code.UNKNOWN_STATE, word.span(), memory.name() + " is never `" + word + "`")
            .withLabel("can be " + told(memory));
    diagnostics.add(
        memory.low() != null ? d : Closest.suggested(d, word.text(), memory.values()));
    return null;
  }

  private static String told(Symbol.Memory memory) {
    return LogicDeclarer.told(memory.values(), memory.low());
  }

  /** {@code null} if another thing has the name, which was told. */
  @Nullable Keeping counter(LogicItem.Counter c) {
    Term.Edge up = rising(c.up());
    Term.Edge down = c.down() == null ? null : rising(c.down());
    Term cleared = term(c.clearedBy());
    return scope.declaredAt(c.name()) instanceof Symbol.Counter s
        ? new Keeping.Count(s, up, down, cleared, c.span())
        : null;
  }

  private Term.Edge rising(Expression e) {
    Term operand = term(e);
    return new Term.Edge(operand, true, operand.span());
  }

  /** {@code null} if another thing has the name or it is about no equipment, which is told. */
  @Nullable Keeping duty(LogicItem.Duty d) {
    Term.Edge when = rising(d.alternates());
    var equipment = new ArrayList<Symbol.Equipment>();
    for (Word tag : d.tags()) {
      Symbol found = scope.find(tag);
      if (found instanceof Symbol.Equipment e) {
        equipment.add(e);
        Word first = dutyOf.putIfAbsent(tag.text(), tag);
        if (first != null) {
          diagnostics.add(
              Diagnostic.of(Code.STATED_TWICE, tag.span(), tag + " takes turns twice")
                  .withRelated(first.span(), "first time")
                  .withWhy("`" + tag + " is duty` would have two answers"));
        }
      } else if (found != null) {
        diagnostics.add(
            Diagnostic.of(
                    Code.WRONG_USE,
                    tag.span(),
                    "`" + tag + "` is " + found.what() + " and cannot be on duty")
                .withRelated(found.name().span(), "declared here"));
      }
    }
    return scope.declaredAt(d.name()) instanceof Symbol.Duty s
            && equipment.size() == d.tags().size()
        ? new Keeping.Alternate(s, equipment, when, d.span())
        : null;
  }

  Keeping alarm(LogicItem.Alarm a) {
    return alarms(null, List.of(a), List.of(), List.of(), a.tag().span(), a.span());
  }

  Keeping group(LogicItem.AlarmGroup g) {
    Symbol.AlarmGroup group =
        scope.declaredAt(g.name()) instanceof Symbol.AlarmGroup s ? s : null;
    return alarms(
        group, g.alarms(), g.acknowledgedBy(), g.resetBy(), g.name().span(), g.span());
  }

  private Keeping alarms(
      Symbol.@Nullable AlarmGroup group,
      List<LogicItem.Alarm> alarms,
      List<Expression> acknowledgedBy,
      List<Expression> resetBy,
      Span at,
      Span span) {
    Term acknowledged = line(acknowledgedBy, "acknowledged by", ACKNOWLEDGE);
    Term reset = line(resetBy, "reset by", List.of(ResolvedPlant.RESET));
    var watched = new ArrayList<Keeping.Watched>();
    boolean latched = false;
    for (LogicItem.Alarm a : alarms) {
      Term condition = term(a.condition());
      latched |= a.latched();
      if (scope.declaredAt(a.tag()) instanceof Symbol.Alarm s) {
        watched.add(new Keeping.Watched(s, condition));
      }
    }
    if (acknowledged == null) {
      nothing(
          at,
          "nothing acknowledges this alarm",
          "once raised it would stand for ever",
          "a `button acknowledge` on the panel, or `acknowledged by ...` in an alarm group");
    } else if (latched && reset == null) {
      nothing(
          at,
          "nothing resets this alarm",
          "a latched alarm stands until it is reset",
          "a `button reset` on the panel, or `reset by ...` in an alarm group");
    }
    return new Keeping.Alarms(
        group,
        watched,
        acknowledged == null ? new Term.Broken(at) : acknowledged,
        latched ? reset : null,
        span);
  }

  private void nothing(Span at, String message, String why, String fix) {
    diagnostics.add(
        Diagnostic.of(Code.NOT_ACKNOWLEDGED, at, message).withWhy(why).withFix(fix));
  }

  /** What a line of a group says, or else the panel button of one of these names. */
  private @Nullable Term line(List<Expression> written, String words, List<String> buttons) {
    Term said = null;
    for (Expression e : written) {
      if (said != null) {
        diagnostics.add(
            Diagnostic.of(Code.STATED_TWICE, e.span(), "`" + words + "` is stated twice")
                .withRelated(said.span(), "first time")
                .withFix("one line: `" + words + " ... or ...`"));
        break;
      }
      said = term(e);
    }
    for (String name : buttons) {
      if (said == null && scope.peek(name) instanceof Symbol.Button b) {
        said = new Term.Holds(b, b.name().span());
      }
    }
    return said;
  }

  /** The values a command can take besides 1, each with its condition. */
  List<AtValue> values(LogicItem.Command c, List<String> words) {
    var values = new ArrayList<AtValue>();
    for (LogicItem.AtState a : c.states()) {
      Term when = term(a.when());
      int value = atValue(a.state(), c.tag(), words);
      if (value > 0) {
        values.add(new AtValue(value, when));
      }
    }
    return values;
  }

  /**
   * The value of a command that this word stands for, at least 1; -1 if there is none, which is
   * told.
   *
   * @param words what the command is called when it is 0, 1 and so on
   */
  int atValue(Word state, Word tag, List<String> words) {
    int value = words.indexOf(state.text());
    if (value > 0) {
      return value;
    }
    List<String> known = words.subList(1, words.size());
    Diagnostic d =
        Diagnostic.of(
                Code.UNKNOWN_STATE, state.span(), tag + " is never commanded `at " + state + "`")
            .withLabel("can be at " + String.join(", ", known));
    diagnostics.add(
        value == 0
            ? d.withWhy("it is " + state + " while it is not wanted")
            : Closest.suggested(d, state.text(), known));
    return -1;
  }

  /** What bypasses a guard while it holds; {@code null} if it cannot, which is told. */
  @Nullable Term bypass(@Nullable Word name) {
    if (name == null) {
      return null;
    }
    Symbol symbol = scope.find(name);
    return switch (symbol) {
      case null -> null;
      case Symbol.Key k -> new Term.Holds(k, name.span());
      case Symbol.Latch l -> new Term.Holds(l, name.span());
      case Symbol.Signal s -> new Term.Holds(s, name.span());
      case Symbol.Button b when b.hold() -> new Term.Holds(b, name.span());
      case Symbol other -> {
        diagnostics.add(
            Diagnostic.of(
                    Code.WRONG_USE,
                    name.span(),
                    "`" + name + "` is " + other.what() + " and bypasses nothing")
                .withRelated(other.name().span(), "declared here")
                .withWhy("a bypass lasts as long as a key, hold-button, latch or signal is on")
                .withFix(Objects.requireNonNullElse(bypassInstead(other), "")));
        yield null;
      }
    };
  }

  private static @Nullable String bypassInstead(Symbol other) {
    return switch (other) {
      case Symbol.Selector s ->
          "`signal bypass = " + s.name() + " is " + s.positions().getFirst() + "`";
      case Symbol.Button b -> "`key " + b.name() + "` or `hold-button " + b.name() + "`";
      default -> null;
    };
  }

  private Term term(Expression e) {
    return terms.resolve(e, View.LOGIC);
  }
}
