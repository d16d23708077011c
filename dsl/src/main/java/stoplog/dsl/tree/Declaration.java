package stoplog.dsl.tree;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/** One entry of a plant text outside all braces. {@code text} is the description, empty if none. */
public sealed interface Declaration {
  Span span();

  /** {@code plant "Marram Point water skid"}. */
  record Header(String name, Span span) implements Declaration {}

  /** {@code controller reacts within 200 ms, coincident 3}. */
  record Reacts(Quantity within, @Nullable Quantity coincident, Span span) implements Declaration {}

  record PowerMayFail(Span span) implements Declaration {}

  /** {@code valve FV-101 "feed inlet valve" by hand { ... }}. */
  record Equipment(
      Word kind, Word tag, String text, boolean byHand, List<Member> members, Span span)
      implements Declaration {
    public Equipment {
      members = List.copyOf(members);
    }
  }

  /** A property of a piece of equipment. */
  sealed interface Member {
    Span span();
  }

  /** {@code fails closed}. */
  record Fails(Word state, Span span) implements Member {}

  /** {@code proves open ZSO-101}: one of the feedbacks in such a list. */
  record Proves(Word state, Word tag, Span span) implements Member {}

  /** {@code travel 4..8 s}. */
  record Timing(Word name, Window window, Span span) implements Member {}

  /** A condition of the process; without {@code holdsWhen} it comes and goes. */
  record Condition(Word name, String text, @Nullable Expression holdsWhen, Span span)
      implements Declaration {}

  /** {@code level T-301 "cleaning tank" in % { ... }}. */
  record Level(
      Word tag,
      String text,
      Word unit,
      List<Movement> movements,
      List<Quantity> startsAt,
      Span span)
      implements Declaration {
    public Level {
      movements = List.copyOf(movements);
      startsAt = List.copyOf(startsAt);
    }
  }

  /** {@code 100 to 0 in 8..20 min while P-301 is turning}. */
  record Movement(Quantity from, Quantity to, Window time, Expression during, Span span) {}

  /** A switch; without {@code lag} it follows at once. */
  record Switch(Word tag, String text, Expression follows, @Nullable Window lag, Span span)
      implements Declaration {}

  /** {@code analyser AE-105 "feed ORP" in mV above 350 mV within 5..15 s of oxidant}. */
  record Analyser(Word tag, String text, Word unit, @Nullable Side side, Span span)
      implements Declaration {}

  /** The side of a limit on which an analyser reads while something holds. */
  record Side(boolean above, Quantity limit, Window lag, Expression of, Span span) {}

  record Panel(List<PanelItem> items, Span span) implements Declaration {
    public Panel {
      items = List.copyOf(items);
    }
  }

  /** An entry of the panel. */
  sealed interface PanelItem {
    Span span();
  }

  record Selector(Word name, String text, List<Word> positions, Span span) implements PanelItem {
    public Selector {
      positions = List.copyOf(positions);
    }
  }

  /** One of the buttons of a list. */
  record Button(Word name, String text, boolean hold, Span span) implements PanelItem {}

  record Setpoint(Word name, String text, Quantity standard, Window window, Span span)
      implements PanelItem {}

  record Logic(List<LogicItem> items, Span span) implements Declaration {
    public Logic {
      items = List.copyOf(items);
    }
  }

  /** A statement of the logic. */
  sealed interface LogicItem {
    Span span();
  }

  /** {@code retained latch x: set by A when B; cleared by C; set wins}. */
  record Latch(
      Word name,
      String text,
      boolean retained,
      Expression setBy,
      @Nullable Expression guard,
      Expression clearedBy,
      boolean setWins,
      Span span)
      implements LogicItem {}

  record Signal(Word name, String text, Expression value, Span span) implements LogicItem {}

  /** {@code run P-201 when E { ... }}. */
  record Command(Word verb, Word tag, Expression demand, List<Inhibit> inhibits, Span span)
      implements LogicItem {
    public Command {
      inhibits = List.copyOf(inhibits);
    }
  }

  /** {@code trip "low level" : E reset by F}; only a trip can have a reset. */
  record Inhibit(
      stoplog.model.Inhibit.Kind kind,
      String text,
      Expression condition,
      @Nullable Expression resetBy,
      Span span) {}

  record Hazard(Word id, String text, Expression condition, List<ClaimOption> options, Span span)
      implements Declaration {
    public Hazard {
      options = List.copyOf(options);
    }
  }

  record Requirement(Word id, String text, Promise promise, List<ClaimOption> options, Span span)
      implements Declaration {
    public Requirement {
      options = List.copyOf(options);
    }
  }

  /** What a requirement asks. */
  sealed interface Promise {
    Span span();
  }

  record Can(Expression condition, Span span) implements Promise {}

  /** {@code after A, B within T}. */
  record Response(Expression after, Expression then, Quantity within, Span span)
      implements Promise {}

  record AlwaysCan(Expression condition, Span span) implements Promise {}

  record NeverTogether(List<Expression> conditions, Span span) implements Promise {
    public NeverTogether {
      conditions = List.copyOf(conditions);
    }
  }

  /** {@code once A, B stays until C}. */
  record Stays(Expression once, Expression what, Expression until, Span span) implements Promise {}

  /** A condition under which a claim is decided. */
  sealed interface ClaimOption {
    Span span();
  }

  record Tolerates(Quantity faults, Span span) implements ClaimOption {}

  record Assuming(Expression condition, Span span) implements ClaimOption {}

  record WithoutPowerFailure(Span span) implements ClaimOption {}
}
