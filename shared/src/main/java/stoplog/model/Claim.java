package stoplog.model;

import java.util.List;
import stoplog.source.Span;

/**
 * A claim about every run of the plant.
 *
 * <p>All kinds but one come down to one question: can {@code condition} hold for longer than {@code
 * forQuanta} without a break? Observers look after every step: a condition that is false after some
 * step has a break there, even if no time passes before it holds again. With {@code forQuanta = 0} the
 * question is whether time can pass at all while it holds.
 *
 * <p>{@link Kind#ALWAYS_CAN} asks instead: can the plant get into a state from which time can never
 * again pass while {@code condition} holds, whatever the operator, the process, the power and the
 * controller do? Such a state is a <em>lock-out</em>. The run into it may hold as many faults as the
 * budget allows; what is tried from there on holds none, since nobody repairs a plant by a fault.
 *
 * @param id the label of the plant text ({@code H-01})
 * @param text its description
 * @param kind what a yes means
 * @param condition the condition asked about; reads any variable, the claim's monitors included
 * @param forQuanta see above; 0 for {@link Kind#ALWAYS_CAN}
 * @param monitors what the claim remembers: assignments to {@link Role#MONITOR} variables, carried out
 *     in order after the reactions of every step and once at the start. Only the claim in question
 *     runs its monitors; those of other claims stay at their initial value.
 * @param onlyWhile what a claim of {@link Kind#ALWAYS_CAN} takes for granted: runs are followed only as
 *     long as this holds after the start and after every step, into a lock-out and out of it. True for
 *     all other kinds, which put what they take for granted into their condition.
 * @param faultBudget how many {@link FieldChange.Cause#FAULT} changes one run may hold
 * @param faultsOf the variables one of which a fault must assign to be allowed at all; empty for any
 *     fault. Means nothing with a budget of 0.
 * @param basis why the claim is made; no part of the question
 */
public record Claim(
    String id,
    String text,
    Kind kind,
    Expr condition,
    long forQuanta,
    List<Assignment> monitors,
    Expr onlyWhile,
    int faultBudget,
    List<Integer> faultsOf,
    Basis basis,
    Span origin) {
  public Claim {
    monitors = List.copyOf(monitors);
    faultsOf = List.copyOf(faultsOf);
    if (forQuanta < 0 || forQuanta > Bound.MAX_QUANTA || faultBudget < 0 || faultBudget > 62) {
      throw new IllegalArgumentException("duration or fault budget of " + id);
    }
    if (kind == Kind.ALWAYS_CAN && forQuanta > 0) {
      throw new IllegalArgumentException(id + " asks for what can always be, and for how long");
    }
    if (kind != Kind.ALWAYS_CAN && !onlyWhile.equals(Expr.TRUE)) {
      throw new IllegalArgumentException(id + " takes something for granted beside its condition");
    }
  }

  /** A claim that follows all runs. */
  public Claim(
      String id,
      String text,
      Kind kind,
      Expr condition,
      long forQuanta,
      List<Assignment> monitors,
      int faultBudget,
      List<Integer> faultsOf,
      Basis basis,
      Span origin) {
    this(
        id, text, kind, condition, forQuanta, monitors, Expr.TRUE, faultBudget, faultsOf, basis,
        origin);
  }

  /** A claim that minds no whose faults strike, made for no stated reason. */
  public Claim(
      String id,
      String text,
      Kind kind,
      Expr condition,
      long forQuanta,
      List<Assignment> monitors,
      int faultBudget,
      Span origin) {
    this(
        id, text, kind, condition, forQuanta, monitors, faultBudget, List.of(), Basis.NONE, origin);
  }

  /** Whether a run may hold this change at all, whatever it has held so far. */
  public boolean admits(FieldChange change) {
    return change.cause() != FieldChange.Cause.FAULT
        || (faultBudget > 0
            && (faultsOf.isEmpty()
                || change.effects().stream().anyMatch(a -> faultsOf.contains(a.variable()))));
  }

  /**
   * Where a claim comes from and what hangs on it, for those who read the report.
   *
   * @param severity how bad it is if the claim fails, one word; empty if not stated
   * @param source where it was asked for, such as the item of a hazard study; empty if not stated
   * @param remarks what else is to be said, in the order written
   */
  public record Basis(String severity, String source, List<String> remarks) {
    public static final Basis NONE = new Basis("", "", List.of());

    public Basis {
      remarks = List.copyOf(remarks);
    }
  }

  /** What is asked, and what it means that a run is found. */
  public enum Kind {
    /** A hazard: a yes is a finding. */
    HAZARD(false),
    /** A requirement that something never is, such as two things together: a yes is a finding. */
    NEVER(false),
    /** A requirement that some run gets there: a no is a finding. */
    CAN(true),
    /** {@code after A, B within T}, as a monitor that waits for B: a yes is a finding. */
    RESPONSE(false),
    /**
     * A requirement that from wherever the plant may get to it can still get to the condition: a yes,
     * which is a run into a lock-out, is a finding.
     */
    ALWAYS_CAN(false);

    private final boolean wanted;

    Kind(boolean wanted) {
      this.wanted = wanted;
    }

    /** Whether the claim holds when a run is found. */
    public boolean wanted() {
      return wanted;
    }
  }
}
