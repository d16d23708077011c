package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Word;
import stoplog.model.Inhibit;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/**
 * A plant whose names and units are settled, in the order written within each list.
 *
 * @param reacts {@code null} if the plant does not say: an immediate controller
 * @param power where it says that power may fail; {@code null} if it may not
 */
public record ResolvedPlant(
    SourceFile file,
    String name,
    @Nullable Reaction reacts,
    @Nullable Span power,
    List<Symbol.Equipment> equipment,
    List<Driven> driven,
    List<Symbol.Condition> free,
    List<Derived> derived,
    List<LevelProcess> levels,
    List<Following> switches,
    List<Measuring> analysers,
    List<Symbol> panel,
    List<Statement> program,
    List<Claim> claims,
    List<Scenario> scenarios,
    List<Caused> caused,
    List<Counting> counts,
    List<Transmitting> transmitters) {
  /** The panel button of this name resets every trip that names no other. */
  public static final String RESET = "reset";

  public ResolvedPlant {
    equipment = List.copyOf(equipment);
    driven = List.copyOf(driven);
    free = List.copyOf(free);
    derived = List.copyOf(derived);
    levels = List.copyOf(levels);
    switches = List.copyOf(switches);
    analysers = List.copyOf(analysers);
    panel = List.copyOf(panel);
    program = List.copyOf(program);
    claims = List.copyOf(claims);
    caused = List.copyOf(caused);
    counts = List.copyOf(counts);
    transmitters = List.copyOf(transmitters);
    scenarios = List.copyOf(scenarios);
  }

  public record Reaction(long micros, int coincident, Span span) {}

  /**
   * What of the process moves a piece of equipment.
   *
   * @param drive which of its kind's drives
   */
  public record Driven(Symbol.Equipment equipment, int drive, Term when, Span span) {}

  /** A condition that holds when something else does. */
  public record Derived(Symbol.Condition condition, Term holdsWhen) {}

  /**
   * Why a condition starts or ends, or a count goes one step up or down.
   *
   * @param within it must, that long after the reason began to hold (or the last step was made);
   *     {@code null} if it may at any time but need not
   */
  public record Cause(boolean up, @Nullable TimeWindow within, Term when, Span span) {}

  /**
   * A condition that starts and ends for stated reasons only.
   *
   * @param initially the values it may begin with: bit 0 absent, bit 1 present
   */
  public record Caused(
      Symbol.Condition condition, List<Cause> causes, long initially, Span span) {
    public Caused {
      causes = List.copyOf(causes);
    }
  }

  /**
   * A number that goes one step at a time, for stated reasons, between its ends.
   *
   * @param initially the values it may begin with: bit v for the v-th, the least being 0
   */
  public record Counting(Symbol.Count count, List<Cause> causes, long initially, Span span) {
    public Counting {
      causes = List.copyOf(causes);
    }
  }

  /**
   * A level or another value of the process. All values are in the base unit.
   *
   * @param least it is never below this; {@code null} if unbounded, and then it only moves freely
   * @param most it is never above this; {@code null} if unbounded, and then it only moves freely
   * @param start {@code null} for anywhere
   */
  public record LevelProcess(
      Symbol.Level level,
      @Nullable Ratio least,
      @Nullable Ratio most,
      List<Movement> movements,
      List<Free> free,
      @Nullable Ratio start,
      Span span) {
    public LevelProcess {
      movements = List.copyOf(movements);
      free = List.copyOf(free);
    }
  }

  /**
   * A value moves at a rate while something holds. Rates are in base units per microsecond, below 0
   * for a fall.
   *
   * @param slow the rate that is nearer to 0; 0 if it may as well stand still
   * @param fast the rate that is further from 0
   * @param time the times in which the rate was stated, which the quantum divides
   */
  public record Movement(Ratio slow, Ratio fast, TimeWindow time, Term during, Span span) {
    public boolean rises() {
      return fast.signum() > 0;
    }
  }

  /**
   * A value moves at any time, to a neighbouring band or to any.
   *
   * @param during {@code null} for always
   */
  public record Free(boolean gradual, @Nullable Term during, Span span) {}

  /**
   * A transmitter and the value it follows. All values are in the base unit.
   *
   * @param least the low end of its range; {@code null} if it shows any value
   * @param most the high end of its range; {@code null} if it shows any value
   * @param lag {@code null} if it follows at once
   * @param deadBand so far it may be from the truth for ever; 0 for not at all
   */
  public record Transmitting(
      Symbol.Transmitter instrument,
      Symbol.Level follows,
      @Nullable Ratio least,
      @Nullable Ratio most,
      @Nullable TimeWindow lag,
      Ratio deadBand,
      Span span) {}

  /** A switch and what it follows; at once if there is no lag. */
  public record Following(
      Symbol.Switch instrument, Term follows, @Nullable TimeWindow lag, Span span) {}

  /** An analyser; its value is free if it has no side. */
  public record Measuring(Symbol.Analyser instrument, @Nullable Side side, Span span) {}

  /** On which side of a limit an analyser reads while {@code of} holds. */
  public record Side(boolean above, Ratio limit, TimeWindow lag, Term of) {}

  /** A statement of the logic. */
  public sealed interface Statement permits SetLatch, SetSignal, Drive, Keeping, Chart {
    Span span();
  }

  public record SetLatch(Symbol.Latch latch, Term setBy, Term clearedBy, boolean setWins, Span span)
      implements Statement {}

  public record SetSignal(Symbol.Signal signal, Term value, Span span) implements Statement {}

  /**
   * A command.
   *
   * @param tagSpan where this command names its equipment
   * @param demand when it is wanted; {@code null} if only steps of sequences ask for it
   * @param values which value the command takes while it is wanted: that of the first whose
   *     condition holds, else 1
   */
  public record Drive(
      Symbol.Equipment equipment,
      Word verb,
      Span tagSpan,
      @Nullable Term demand,
      List<AtValue> values,
      List<Guard> guards,
      Span span)
      implements Statement {
    public Drive {
      values = List.copyOf(values);
      guards = List.copyOf(guards);
    }

    /** Which of the equipment's commands it is; 0 with a verb that its kind does not have. */
    public int command() {
      return Math.max(0, equipment.kind().command(verb.text()));
    }
  }

  /** A value of a command, which is at least 1, and when it is meant. */
  public record AtValue(int value, Term when) {}

  /**
   * A permissive, interlock or trip; only a trip has a reset, and it may be left out.
   *
   * @param bypass while this holds, the guard is as if it were content; {@code null} for none
   */
  public record Guard(
      Inhibit.Kind kind,
      String text,
      Term condition,
      @Nullable Term resetBy,
      @Nullable Term bypass,
      Span span) {}

  /**
   * A claim.
   *
   * @param micros for how long, or within what time
   */
  public record Claim(
      Symbol.Claim label,
      Question question,
      long micros,
      Assumptions under,
      stoplog.model.Claim.Basis basis,
      Span span) {}

  /** What a claim asks of the runs of the plant. */
  public sealed interface Question {
    /** Its conditions, in the order written. */
    List<Term> conditions();

    /** {@code hazard ... : C for T}: no run holds C for longer than T. */
    record Hazard(Term condition) implements Question {
      @Override
      public List<Term> conditions() {
        return List.of(condition);
      }
    }

    /** {@code can C for T}: some run holds C for longer than T. */
    record Can(Term condition) implements Question {
      @Override
      public List<Term> conditions() {
        return List.of(condition);
      }
    }

    /**
     * {@code always can C}: from wherever the plant gets to, some run leads on to C; faults may
     * strike on the way there, not after.
     */
    record AlwaysCan(Term condition) implements Question {
      @Override
      public List<Term> conditions() {
        return List.of(condition);
      }
    }

    /**
     * {@code after A, B within T}: in every run, whenever A holds, B holds then or at most T later.
     */
    record Response(Term after, Term then) implements Question {
      @Override
      public List<Term> conditions() {
        return List.of(after, then);
      }
    }

    /**
     * {@code never together A, B, C}: no run holds any two of them at once for longer than an
     * instant.
     */
    record NeverTogether(List<Term> conditions) implements Question {
      public NeverTogether {
        conditions = List.copyOf(conditions);
      }
    }

    /**
     * {@code once A, B stays until C}: in every run, from any moment at which A holds and C does
     * not, B holds until C does. B may be missing for an instant, in which no time passes; C need
     * never come; where C has come, the next A begins anew.
     */
    record Stays(Term once, Term what, Term until) implements Question {
      @Override
      public List<Term> conditions() {
        return List.of(once, what, until);
      }
    }
  }

  /**
   * The runs a claim is about: those that have kept to all of this so far. What a run does after it
   * has broken an assumption, even for an instant, is neither a finding nor a fulfilment.
   *
   * @param assumed each {@code assuming E}: E holds from the start on, after every step
   * @param withoutPowerFailure where it says that power has not failed so far; {@code null} if not
   * @param tolerance the faults that may strike; {@code null} for none
   */
  public record Assumptions(
      List<Term> assumed, @Nullable Span withoutPowerFailure, @Nullable Tolerance tolerance) {
    public Assumptions {
      assumed = List.copyOf(assumed);
    }
  }

  /**
   * {@code tolerates 2 faults of PT-1, PT-2}.
   *
   * @param faults how many may strike in one run, 1 or more
   * @param of whose; empty for anybody's
   */
  public record Tolerance(int faults, List<Symbol> of, Span span) {
    public Tolerance {
      of = List.copyOf(of);
    }
  }

  /** The plant with these claims and scenarios only. */
  private ResolvedPlant asking(List<Claim> these, List<Scenario> those) {
    return new ResolvedPlant(
        file,
        name,
        reacts,
        power,
        equipment,
        driven,
        free,
        derived,
        levels,
        switches,
        analysers,
        panel,
        program,
        these,
        those,
        caused,
        counts,
        transmitters);
  }

  /** The plant without its scenarios, which have models of their own. */
  public ResolvedPlant withoutScenarios() {
    return scenarios.isEmpty() ? this : asking(claims, List.of());
  }

  /** The plant with this scenario alone. */
  public ResolvedPlant only(Scenario scenario) {
    return asking(List.of(), List.of(scenario));
  }

  /** The panel button that resets trips with none of their own; {@code null} if there is none. */
  public Symbol.@Nullable Button resetButton() {
    for (Symbol s : panel) {
      if (s instanceof Symbol.Button b && b.name().text().equals(RESET)) {
        return b;
      }
    }
    return null;
  }

  /** Every term of the logic, each with its parts. */
  public void eachLogicTerm(Consumer<Term> visitor) {
    for (Statement s : program) {
      for (Term t : terms(s)) {
        t.each(visitor);
      }
    }
  }

  /** Every term of the plant, each with its parts. */
  public void eachTerm(Consumer<Term> visitor) {
    eachLogicTerm(visitor);
    driven.forEach(d -> d.when().each(visitor));
    derived.forEach(d -> d.holdsWhen().each(visitor));
    caused.forEach(c -> c.causes().forEach(w -> w.when().each(visitor)));
    counts.forEach(c -> c.causes().forEach(w -> w.when().each(visitor)));
    for (LevelProcess l : levels) {
      l.movements().forEach(m -> m.during().each(visitor));
      for (Free f : l.free()) {
        if (f.during() != null) {
          f.during().each(visitor);
        }
      }
    }
    switches.forEach(s -> s.follows().each(visitor));
    for (Measuring a : analysers) {
      if (a.side() != null) {
        a.side().of().each(visitor);
      }
    }
    scenarios.forEach(s -> s.eachTerm(t -> t.each(visitor)));
    for (Claim c : claims) {
      c.question().conditions().forEach(t -> t.each(visitor));
      c.under().assumed().forEach(t -> t.each(visitor));
    }
  }

  /** The terms of a statement, in the order in which the scan evaluates them. */
  public static List<Term> terms(Statement statement) {
    return switch (statement) {
      case SetLatch l -> List.of(l.setBy(), l.clearedBy());
      case SetSignal s -> List.of(s.value());
      case Drive d -> {
        var terms = new ArrayList<Term>();
        if (d.demand() != null) {
          terms.add(d.demand());
        }
        d.values().forEach(v -> terms.add(v.when()));
        for (Guard g : d.guards()) {
          terms.add(g.condition());
          if (g.bypass() != null) {
            terms.add(g.bypass());
          }
          if (g.resetBy() != null) {
            terms.add(g.resetBy());
          }
        }
        yield terms;
      }
      case Keeping k -> k.terms();
      case Chart c -> c.terms();
    };
  }
}
