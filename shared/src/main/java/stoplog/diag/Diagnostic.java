package stoplog.diag;

import java.util.ArrayList;
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

  /** A finding of this kind at this place, without label, reason or remedy yet. */
  public static Diagnostic of(Code code, Span span, String message) {
    return new Diagnostic(code.id(), code.severity(), message, span, "", List.of(), "", "");
  }

  public Diagnostic withLabel(String newLabel) {
    return new Diagnostic(code, severity, message, span, newLabel, related, why, fix);
  }

  public Diagnostic withWhy(String newWhy) {
    return new Diagnostic(code, severity, message, span, label, related, newWhy, fix);
  }

  public Diagnostic withFix(String newFix) {
    return new Diagnostic(code, severity, message, span, label, related, why, newFix);
  }

  /** With one more place that contributes. */
  public Diagnostic withRelated(Span place, String part) {
    var more = new ArrayList<Related>(related);
    more.add(new Related(place, part));
    return new Diagnostic(code, severity, message, span, label, more, why, fix);
  }

  public boolean isError() {
    return severity == Severity.ERROR;
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
