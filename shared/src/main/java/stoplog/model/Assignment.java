package stoplog.model;

import stoplog.source.Span;

/**
 * {@code variable := value}, the value read just before. The value lies in the variable's domain in
 * every state in which the assignment is carried out.
 */
public record Assignment(int variable, Expr value, Span origin) {
  public Assignment(int variable, Expr value) {
    this(variable, value, Span.NONE);
  }
}
