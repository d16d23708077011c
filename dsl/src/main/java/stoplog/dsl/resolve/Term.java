package stoplog.dsl.resolve;

import java.util.List;
import stoplog.dsl.tree.Expression.Relation;
import stoplog.dsl.tree.TimerForm;
import stoplog.source.Span;

/** An expression whose names are looked up: a truth value over things of the plant. */
public sealed interface Term {
  Span span();

  /** Stands where an error was told. A plant with one never becomes a model. */
  record Broken(Span span) implements Term {}

  /** A piece of equipment is in one of these positions (bit p for position p): the truth. */
  record Positioned(Symbol.Equipment equipment, long positions, String state, Span span)
      implements Term {}

  /** A command of a piece of equipment, which of them counted from 0, has this value. */
  record Commanded(Symbol.Equipment equipment, int command, int value, Span span)
      implements Term {}

  /** A condition, switch, feedback, button, latch or signal is true. */
  record Holds(Symbol symbol, Span span) implements Term {}

  record Selected(Symbol.Selector selector, int position, Span span) implements Term {}

  /** A level, analyser or transmitter stands in this relation to a value in the base unit. */
  record Beside(Symbol gauge, Relation relation, Ratio value, Span span) implements Term {}

  /** An analyser or transmitter stands in this relation to an adjustable value. */
  record BesideSetpoint(Symbol gauge, Relation relation, Symbol.Setpoint setpoint, Span span)
      implements Term {}

  /** A count has one of these values: bit v for the v-th, its least being 0. */
  record Counted(Symbol.Count count, long values, Span span) implements Term {}

  /** One of the trips of the equipment is set. */
  record Tripped(Symbol.Equipment equipment, Span span) implements Term {}

  /** A piece of equipment, an instrument or button has one of these faults. */
  record Faulty(Symbol symbol, List<String> faults, Span span) implements Term {
    public Faulty {
      faults = List.copyOf(faults);
    }
  }

  /** An interlock of the equipment does not hold. */
  record Blocked(Symbol.Equipment equipment, Span span) implements Term {}

  /**
   * What the logic remembers has one of some values.
   *
   * @param of what the reader knows it as
   * @param variable the name of the variable that holds it
   * @param values bit v for value v
   */
  record Valued(Symbol.Kept of, String variable, long values, Span span) implements Term {}

  /** One of these steps of a sequence is active. */
  record InStep(Symbol.Sequence sequence, List<Integer> steps, Span span) implements Term {
    public InStep {
      steps = List.copyOf(steps);
    }
  }

  /** How many of the operands hold: from {@code least} to {@code most} of them. */
  record HowMany(int least, int most, List<Term> operands, Span span) implements Term {
    public HowMany {
      operands = List.copyOf(operands);
    }
  }

  record Not(Term operand, Span span) implements Term {}

  record All(List<Term> operands, Span span) implements Term {
    public All {
      operands = List.copyOf(operands);
    }
  }

  record Any(List<Term> operands, Span span) implements Term {
    public Any {
      operands = List.copyOf(operands);
    }
  }

  /** A part of the logic that keeps something from scan to scan at the place where it stands. */
  sealed interface Remembering extends Term {}

  /** A timer over the operand, whose time lies in the window. */
  record Timed(TimerForm form, Term operand, TimeWindow window, Span span)
      implements Remembering {}

  /** The operand differs from what it was when the last scan came here: only now it is so. */
  record Edge(Term operand, boolean rising, Span span) implements Remembering {}

  /** This term and everything inside it, outermost first. */
  default void each(java.util.function.Consumer<Term> visitor) {
    visitor.accept(this);
    switch (this) {
      case Not n -> n.operand().each(visitor);
      case All a -> a.operands().forEach(t -> t.each(visitor));
      case Any a -> a.operands().forEach(t -> t.each(visitor));
      case HowMany h -> h.operands().forEach(t -> t.each(visitor));
      case Timed l -> l.operand().each(visitor);
      case Edge e -> e.operand().each(visitor);
      case Broken b -> {}
      case Positioned p -> {}
      case Commanded c -> {}
      case Holds h -> {}
      case Selected s -> {}
      case Beside b -> {}
      case BesideSetpoint b -> {}
      case Counted c -> {}
      case Tripped t -> {}
      case Faulty f -> {}
      case Blocked b -> {}
      case Valued v -> {}
      case InStep s -> {}
    }
  }
}
