package stoplog.dsl.resolve;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
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

  /** The tags of the equipment that has a guard of this kind in a command. */
  public Set<String> guarded(Inhibit.Kind kind) {
    var tags = new HashSet<String>();
    for (Statement s : program) {
      if (s instanceof Statement.Drive d && d.guards().stream().anyMatch(g -> g.kind() == kind)) {
        tags.add(d.equipment().name().text());
      }
    }
    return tags;
  }

  /** Every term of the logic, each with its parts. */
  public void eachLogicTerm(Consumer<Term> visitor) {
    for (Statement s : program) {
      for (Term t : s.terms()) {
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
}
