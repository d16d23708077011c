package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Closest;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.Scenario.Entry;
import stoplog.dsl.resolve.Scenario.Event;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.ScenarioItem;
import stoplog.dsl.tree.Word;
import stoplog.model.FieldChange.Cause;
import stoplog.source.Span;

/** The scenarios of {@link Resolver}. */
final class ScenarioResolver {
  /** A scenario is followed by one variable, which counts events and moments looked at. */
  private static final int MAX_MOMENTS = 60;

  private final Scope scope;
  private final Quantities quantities;
  private final TermResolver terms;
  private final List<Diagnostic> diagnostics;

  ScenarioResolver(
      Scope scope, Quantities quantities, TermResolver terms, List<Diagnostic> diagnostics) {
    this.scope = scope;
    this.quantities = quantities;
    this.terms = terms;
    this.diagnostics = diagnostics;
  }

  /**
   * The scenario, or {@code null} if it could not be read, which is told.
   *
   * @param powerMayFail whether the plant says so
   */
  @Nullable Scenario scenario(Declaration.Scenario s, boolean powerMayFail) {
    var entries = new ArrayList<Entry>();
    long before = 0;
    for (ScenarioItem i : s.items()) {
      Entry entry = entry(i, before, powerMayFail);
      if (entry == null) {
        continue;
      }
      entries.add(entry);
      before =
          switch (entry) {
            case Scenario.Given g -> before;
            case Scenario.Happens h -> h.micros();
            case Scenario.SeenAt a -> a.micros();
            case Scenario.SeenThroughout t -> t.toMicros();
            case Scenario.SeenBy b -> b.micros();
          };
    }
    int moments = moments(entries);
    if (moments > MAX_MOMENTS) {
      diagnostics.add(
          Diagnostic.of(Code.NOT_A_COUNT, s.id().span(), "this scenario is too long")
              .withWhy(
                  "it may hold "
                      + MAX_MOMENTS
                      + " moments: one for each event and for each time that is looked at; here"
                      + " are "
                      + moments)
              .withFix("split it into several scenarios"));
      return null;
    }
    return scope.declaredAt(s.id()) instanceof Symbol.Scenario label
        ? new Scenario(label, s.certain(), entries, s.span())
        : null;
  }

  private static int moments(List<Entry> entries) {
    var looked = new HashSet<Long>();
    int events = 0;
    for (Entry e : entries) {
      switch (e) {
        case Scenario.Given g -> {}
        case Scenario.Happens h -> events += h.events().size();
        case Scenario.SeenAt s -> looked.add(s.micros());
        case Scenario.SeenThroughout s -> looked.addAll(List.of(s.fromMicros(), s.toMicros()));
        case Scenario.SeenBy s -> looked.addAll(List.of(s.fromMicros(), s.micros()));
      }
    }
    return events + looked.size();
  }

  private @Nullable Entry entry(ScenarioItem item, long before, boolean powerMayFail) {
    return switch (item) {
      case ScenarioItem.Given g ->
          new Scenario.Given(terms.resolve(g.condition(), View.CLAIM), g.span());
      case ScenarioItem.Happens h -> {
        Long at = time(h.at());
        var events = new ArrayList<Event>();
        for (ScenarioItem.Event e : h.events()) {
          Event event = event(e, powerMayFail);
          if (event != null) {
            events.add(event);
          }
        }
        yield at == null ? null : new Scenario.Happens(at, events, h.span());
      }
      case ScenarioItem.SeenAt s -> {
        Term term = terms.resolve(s.condition(), View.CLAIM);
        Long at = time(s.at());
        yield at == null ? null : new Scenario.SeenAt(at, term, s.span());
      }
      case ScenarioItem.SeenThroughout s -> {
        Term term = terms.resolve(s.condition(), View.CLAIM);
        Long from = time(s.from());
        Long to = time(s.to());
        if (from == null || to == null) {
          yield null;
        }
        if (from >= to) {
          quantities.upsideDown(s.from().span());
          yield null;
        }
        yield new Scenario.SeenThroughout(from, to, term, s.span());
      }
      case ScenarioItem.SeenBy s -> {
        Term term = terms.resolve(s.condition(), View.CLAIM);
        Long by = time(s.by());
        if (by != null && by < before) {
          diagnostics.add(
              Diagnostic.of(
                      Code.SEEN_TOO_LATE, s.by().span(), "this time is over when the look begins")
                  .withWhy("`by` looks from the entry written before it on"));
          yield null;
        }
        yield by == null ? null : new Scenario.SeenBy(before, by, term, s.span());
      }
    };
  }

  private @Nullable Long time(Quantity q) {
    return quantities.timeOrZero(q, q.unit(), "time");
  }

  private @Nullable Event event(ScenarioItem.Event e, boolean powerMayFail) {
    return switch (e.deed()) {
      case POWER_FAILS, POWER_RETURNS -> {
        if (!powerMayFail) {
          diagnostics.add(
              Diagnostic.of(Code.POWER_NEVER_FAILS, e.span(), "power does not fail in this plant")
                  .withFix("write `power may fail` at the top of the plant"));
          yield null;
        }
        boolean fails = e.deed() == ScenarioItem.Deed.POWER_FAILS;
        yield new Event(
            Cause.POWER, "power", fails ? 0 : 1, fails ? "power fails" : "power returns", e.span());
      }
      case PRESS, HOLD, RELEASE, TURN, START, END, FAULT -> {
        Symbol subject = scope.find(e.subject());
        yield subject == null ? null : event(e, subject);
      }
    };
  }

  private @Nullable Event event(ScenarioItem.Event e, Symbol subject) {
    return switch (e.deed()) {
      case PRESS ->
          subject instanceof Symbol.Button b && !b.hold()
              ? operator(e, subject, 1, "pressed")
              : cannot(e, subject, "only buttons are pressed", instead(subject));
      case HOLD, RELEASE -> {
        boolean hold = e.deed() == ScenarioItem.Deed.HOLD;
        yield subject instanceof Symbol.Button b && b.hold()
            ? operator(e, subject, hold ? 1 : 0, hold ? "held" : "released")
            : cannot(e, subject, "only hold-buttons are held", instead(subject));
      }
      case TURN -> turned(e, subject);
      case START, END -> {
        boolean starts = e.deed() == ScenarioItem.Deed.START;
        yield subject instanceof Symbol.Condition c && !c.derived()
            ? new Event(
                Cause.PROCESS,
                c.name().text(),
                starts ? 1 : 0,
                c.name() + (starts ? " starts" : " ends"),
                e.span())
            : cannot(e, subject, "only conditions that come and go start and end", "");
      }
      case FAULT -> fault(e, subject);
      case POWER_FAILS, POWER_RETURNS -> throw new IllegalStateException("power is no subject");
    };
  }

  /** What the operator can do to it. */
  private static String instead(Symbol subject) {
    return switch (subject) {
      case Symbol.Button b -> "`" + (b.hold() ? "hold " : "press ") + b.name() + "`";
      case Symbol.Selector s -> "`turn " + s.name() + " to " + s.positions().getFirst() + "`";
      default -> "";
    };
  }

  private static Event operator(
      ScenarioItem.Event e, Symbol subject, int value, String what) {
    String name = subject.name().text();
    return new Event(Cause.OPERATOR, name, value, name + " " + what, e.span());
  }

  private @Nullable Event turned(ScenarioItem.Event e, Symbol subject) {
    Word state = java.util.Objects.requireNonNull(e.state());
    return switch (subject) {
      case Symbol.Selector s -> position(e, s.name().text(), s, state, s.positions());
      case Symbol.Key k -> position(e, k.name().text(), k, state, List.of("off", "on"));
      case Symbol.Equipment q when q.byHand() -> {
        List<Integer> called = q.kind().commandsCalled(state.text());
        int command = called.isEmpty() ? 0 : called.getFirst();
        List<String> words =
            called.isEmpty()
                ? q.kind().commandWords()
                : q.kind().commands().get(command).words();
        yield position(e, q.commandVariable(command), q, state, words);
      }
      case Symbol.Equipment q ->
          cannot(
              e, q, "the logic moves it, not the operator", "declare it `by hand` if he does");
      case Symbol other -> cannot(e, other, "only what has positions is turned", "");
    };
  }

  private @Nullable Event position(
      ScenarioItem.Event e, String variable, Symbol of, Word state, List<String> positions) {
    int at = positions.indexOf(state.text());
    if (at < 0) {
      unknown(state, of.name() + " is never turned to `" + state + "`", of, positions);
      return null;
    }
    return new Event(Cause.OPERATOR, variable, at, of.name() + " to " + state, e.span());
  }

  private @Nullable Event fault(ScenarioItem.Event e, Symbol subject) {
    Word name = java.util.Objects.requireNonNull(e.state());
    List<String> faults = Faults.of(subject);
    if (faults.isEmpty()) {
      return cannot(e, subject, subject.what() + " has no faults", "");
    }
    int at = faults.indexOf(name.text());
    if (at < 0) {
      unknown(name, subject.name() + " has no fault `" + name + "`", subject, faults);
      return null;
    }
    return new Event(
        Cause.FAULT,
        subject.name() + ".fault",
        at + 1,
        subject.name() + " has fault " + name,
        e.span());
  }

  private void unknown(Word word, String message, Symbol of, Collection<String> known) {
    Diagnostic d =
        Diagnostic.of(Code.UNKNOWN_STATE, word.span(), message)
            .withLabel("can be " + String.join(", ", known))
            .withRelated(of.name().span(), "declared here");
    diagnostics.add(Closest.suggested(d, word.text(), known));
  }

  private @Nullable Event cannot(
      ScenarioItem.Event e, Symbol subject, String why, String fix) {
    Span at = e.subject().span();
    boolean held = subject instanceof Symbol.Button b && b.hold();
    String what = held ? "a hold-button" : subject.what();
    diagnostics.add(
        Diagnostic.of(
                Code.WRONG_USE,
                at,
                "`" + subject.name() + "` is " + what + ", and this cannot happen to it")
            .withRelated(subject.name().span(), "declared here")
            .withWhy(why)
            .withFix(fix));
    return null;
  }
}
