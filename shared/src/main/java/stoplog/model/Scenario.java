package stoplog.model;

import java.util.List;
import stoplog.source.Span;

/**
 * A written course of events, as a question of its own: a model in which, of all that comes from
 * outside, only what is written happens.
 *
 * <p>The model's first claim is a {@link Claim.Kind#CAN}: whether the course can be taken at all and,
 * for a possible scenario, can show everything that is to be seen. One claim for each thing to be seen
 * follows, in the order of time. For a possible scenario it is a {@link Claim.Kind#CAN} too: whether
 * some run shows this thing after all those before it. For a certain one it is a {@link
 * Claim.Kind#RESPONSE} that is broken by a run that takes the course and does not show it.
 *
 * @param id its label in the plant text
 * @param text its description
 * @param certain whether every run must show what is to be seen; else some run must
 * @param model see above
 */
public record Scenario(String id, String text, boolean certain, Model model, Span origin) {
  public Scenario {
    if (model.claims().isEmpty() || model.claims().getFirst().kind() != Claim.Kind.CAN) {
      throw new IllegalArgumentException("scenario " + id + " does not ask for its course");
    }
  }

  /** Whether the course can be taken. */
  public Claim course() {
    return model.claims().getFirst();
  }

  /** What is to be seen, in the order of time. */
  public List<Claim> seen() {
    return model.claims().subList(1, model.claims().size());
  }
}
