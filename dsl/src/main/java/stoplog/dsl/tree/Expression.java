package stoplog.dsl.tree;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/** An expression as written. */
public sealed interface Expression {
  Span span();

  /** A name that stands for itself: {@code FS-202}. */
  record Named(Word name) implements Expression {
    @Override
    public Span span() {
      return name.span();
    }
  }

  /** {@code P-201 is not commanded off}. */
  record Is(Word subject, boolean negated, Aspect aspect, Word state, Span span)
      implements Expression {}

  /** What of a piece of equipment is meant. */
  enum Aspect {
    /** How it is: the truth. */
    ACTUAL,
    /** What the controller wants of it. */
    COMMANDED,
    /** What its feedback says. */
    PROVEN
  }

  /** {@code AE-105 > 350 mV} or {@code AE-105 > orp_trip}: exactly one of the two is not null. */
  record Compared(
      Word subject, Relation relation, @Nullable Quantity value, @Nullable Word setpoint, Span span)
      implements Expression {}

  /** An order between a value and a limit. */
  enum Relation {
    BELOW("<"),
    AT_MOST("<="),
    ABOVE(">"),
    AT_LEAST(">=");

    private final String sign;

    Relation(String sign) {
      this.sign = sign;
    }

    public String sign() {
      return sign;
    }
  }

  /** {@code tripped P-201}. */
  record Tripped(Word equipment, Span span) implements Expression {}

  /** {@code blocked P-201}: an interlock of it does not hold. */
  record Blocked(Word equipment, Span span) implements Expression {}

  /**
   * {@code at least 2 of (A, B, C)}: how many of them hold.
   *
   * @param least so many or more
   * @param most so many or fewer
   */
  record HowMany(Quantity least, Quantity most, List<Expression> operands, Span span)
      implements Expression {
    public HowMany {
      operands = List.copyOf(operands);
    }
  }

  /** {@code open path from A to B}, or with {@code flow} one along which a pump turns. */
  record Path(boolean flow, Declaration.PipeEnd from, Declaration.PipeEnd to, Span span)
      implements Expression {}

  record Not(Expression operand, Span span) implements Expression {}

  record And(List<Expression> operands, Span span) implements Expression {
    public And {
      operands = List.copyOf(operands);
    }
  }

  record Or(List<Expression> operands, Span span) implements Expression {
    public Or {
      operands = List.copyOf(operands);
    }
  }

  /** {@code E for T}, {@code E held on for T} or {@code pulse of T from E}. */
  record Timed(TimerForm form, Expression operand, Delay delay, Span span) implements Expression {}

  /** {@code FS-202 rises} or {@code FS-202 falls}. */
  record Edge(Expression operand, boolean rising, Span span) implements Expression {}

  /** A time, or the setpoint that gives it: exactly one of the two is not null. */
  record Delay(@Nullable Quantity time, @Nullable Word setpoint, Span span) {}
}
