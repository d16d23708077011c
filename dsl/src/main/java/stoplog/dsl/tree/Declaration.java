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

  /** {@code kind valve "on/off valve" { ... }}. */
  record KindOf(Word name, String text, List<KindMember> members, Span span)
      implements Declaration {
    public KindOf {
      members = List.copyOf(members);
    }
  }

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

  /** {@code proves open ZSO-101 within 0..1 s}: one of the feedbacks in such a list. */
  record Proves(Word state, Word tag, @Nullable Window lag, Span span) implements Member {}

  /** {@code forward when P-201 is turning}: what of the process moves it. */
  record Driven(Word name, Expression when, Span span) implements Member {}

  /** {@code travel 4..8 s}. */
  record Timing(Word name, Window window, Span span) implements Member {}

  /** {@code pipe from T-100 through FV-101, P-201 to membranes}. */
  record Pipe(PipeEnd from, List<Word> through, PipeEnd to, Span span) implements Declaration {
    public Pipe {
      through = List.copyOf(through);
    }
  }

  /** {@code FV-301 at drain}: a named point or a piece of equipment, perhaps at one of its ports. */
  record PipeEnd(Word name, @Nullable Word port, Span span) {}

  /** A condition of the process that holds when an expression does. */
  record Derived(Word name, String text, Expression holdsWhen, Span span) implements Declaration {}

  /**
   * A condition of the process that comes and goes: at any time if it has no causes, else as they
   * say.
   *
   * @param initially how it may be at the start; empty for either
   */
  record Condition(
      Word name, String text, List<Cause> causes, List<Initially> initially, Span span)
      implements Declaration {
    public Condition {
      causes = List.copyOf(causes);
      initially = List.copyOf(initially);
    }
  }

  /** {@code count dirty "racks to be washed" from 0 to 8 { ... }}. */
  record Count(
      Word name,
      String text,
      Quantity low,
      Quantity high,
      List<Cause> causes,
      List<Initially> initially,
      Span span)
      implements Declaration {
    public Count {
      causes = List.copyOf(causes);
      initially = List.copyOf(initially);
    }
  }

  /**
   * {@code must start within 2..5 s when E}; without a window it may but need not.
   *
   * @param up whether it starts or rises; else it ends or falls
   * @param stepwise whether it is said of a count (rises, falls) and not of a condition
   */
  record Cause(boolean up, boolean stepwise, @Nullable Window within, Expression when, Span span) {}

  /** {@code initially present}, {@code initially absent} or {@code initially 3}. */
  record Initially(Word how, Span span) {}

  /**
   * {@code level T-301 "cleaning tank" in % { ... }} or {@code analog pressure in bar from 0 to 10
   * { ... }}: a value that moves as its members say.
   */
  record Level(
      Word tag,
      String text,
      Word unit,
      @Nullable Extent extent,
      List<Moving> movements,
      List<Quantity> startsAt,
      Span span)
      implements Declaration {
    public Level {
      movements = List.copyOf(movements);
      startsAt = List.copyOf(startsAt);
    }
  }

  /** {@code from 0 to 10}, without units. */
  record Extent(Quantity low, Quantity high, Span span) {}

  /** How a value moves. */
  sealed interface Moving {
    Span span();
  }

  /** {@code 100 to 0 in 8..20 min while P-301 is turning}. */
  record Movement(Quantity from, Quantity to, Window time, Expression during, Span span)
      implements Moving {}

  /** {@code rises at 0.1..0.5 bar/s while P-301 is turning}. */
  record Rate(boolean rising, Window rate, Expression during, Span span) implements Moving {}

  /** {@code jumps while E} or {@code moves gradually}: at any time, anywhere or to a neighbour. */
  record Free(boolean gradual, @Nullable Expression during, Span span) implements Moving {}

  /** A switch; without {@code lag} it follows at once. */
  record Switch(
      Word tag,
      String text,
      @Nullable Word normally,
      Expression follows,
      @Nullable Window lag,
      Span span)
      implements Declaration {}

  /** {@code transmitter PT-110 in bar from 0 to 10 follows pressure within 0.2..1 s}. */
  record Transmitter(
      Word tag,
      String text,
      Word unit,
      @Nullable Extent extent,
      Word follows,
      @Nullable Window lag,
      @Nullable Quantity deadBand,
      Span span)
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

  /** A key switch: it stays as the operator turns it. */
  record Key(Word name, String text, Span span) implements PanelItem {}

  /**
   * @param enteredIn the unit in which the panel shows it; {@code null} for that of its window
   */
  record Setpoint(
      Word name,
      String text,
      Quantity standard,
      Window window,
      @Nullable Word enteredIn,
      Span span)
      implements PanelItem {}

  record Logic(List<LogicItem> items, Span span) implements Declaration {
    public Logic {
      items = List.copyOf(items);
    }
  }

  /** {@code scenario S-01 "start-up" certain { ... }}. */
  record Scenario(Word id, String text, boolean certain, List<ScenarioItem> items, Span span)
      implements Declaration {
    public Scenario {
      items = List.copyOf(items);
    }
  }

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

  /**
   * @param of whose faults; empty for anybody's
   */
  record Tolerates(Quantity faults, List<Word> of, Span span) implements ClaimOption {
    public Tolerates {
      of = List.copyOf(of);
    }
  }

  record Assuming(Expression condition, Span span) implements ClaimOption {}

  record WithoutPowerFailure(Span span) implements ClaimOption {}

  /** {@code severity major}. */
  record Severity(Word degree, Span span) implements ClaimOption {}

  /** {@code source "hazard study, item 12"} or {@code remark "..."}. */
  record Note(boolean source, String text, Span span) implements ClaimOption {}
}
