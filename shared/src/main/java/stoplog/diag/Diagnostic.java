package stoplog.diag;

import java.util.List;
import stoplog.source.Span;

/**
 * One finding about a plant text, as data.
 *
 * @param code stable, {@code E0312} or {@code W0107}
 * @param message one statement of fact in plant words, lower case, no full stop
 * @param span the smallest piece of text that shows the problem
 * @param label what to write beside the caret; may be empty
 * @param related other places that contribute
 * @param why why it matters, one sentence; may be empty
 * @param fix the remedy; may be empty
 */
public record Diagnostic(
    String code,
    Severity severity,
    String message,
    Span span,
    String label,
    List<Related> related,
    String why,
    String fix) {
  public Diagnostic {
    related = List.copyOf(related);
  }

  /** Whether the plant can be used all the same. */
  public enum Severity {
    ERROR,
    WARNING,
    NOTE
  }

  /** A second place and its part in the problem. */
  public record Related(Span span, String label) {}
}
