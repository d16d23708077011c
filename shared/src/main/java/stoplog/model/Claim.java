package stoplog.model;

import java.util.List;
import stoplog.source.Span;

/**
 * A claim about every run of the plant.
 *
 * <p>All kinds come down to one question: can {@code condition} hold for longer than {@code forQuanta}
 * without a break? Observers look after every step: a condition that is false after some step has a
 * break there, even if no time passes before it holds again. With {@code forQuanta = 0} the question
 * is whether time can pass at all while it holds.
 *
 * @param id the label of the plant text ({@code H-01})
 * @param text its description
 * @param kind what a yes means
 * @param condition the condition asked about; reads any variable, the claim's monitors included
 * @param forQuanta see above
 * @param monitors what the claim remembers: assignments to {@link Role#MONITOR} variables, carried out
 *     in order after the reactions of every step and once at the start. Only the claim in question
 *     runs its monitors; those of other claims stay at their initial value.
 * @param faultBudget how many {@link FieldChange.Cause#FAULT} changes one run may hold
 */
public record Claim(
    String id,
    String text,
    Kind kind,
    Expr condition,
    long forQuanta,
    List<Assignment> monitors,
    int faultBudget,
    Span origin) {
  public Claim {
    monitors = List.copyOf(monitors);
    if (forQuanta < 0 || forQuanta > Bound.MAX_QUANTA || faultBudget < 0 || faultBudget > 62) {
      throw new IllegalArgumentException("duration or fault budget of " + id);
    }
  }

  /** What it means that the condition can be reached. */
  public enum Kind {
    /** A hazard: a yes is a finding. */
    HAZARD(false),
    /** A requirement that some run gets there: a no is a finding. */
    CAN(true),
    /** {@code after A, B within T}, as a monitor that waits for B: a yes is a finding. */
    RESPONSE(false);

    private final boolean wanted;

    Kind(boolean wanted) {
      this.wanted = wanted;
    }

    /** Whether the claim holds when its condition can be reached. */
    public boolean wanted() {
      return wanted;
    }
  }
}
