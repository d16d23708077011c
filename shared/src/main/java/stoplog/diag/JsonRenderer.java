package stoplog.diag;

import java.util.List;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/**
 * Diagnostics as a JSON array, one object each, for editors and other programs. Lines and columns
 * count from 1, columns in code points; a finding without a place has {@code "file": null}.
 */
public final class JsonRenderer {
  /** One array in the order given. Linear in the size of its output. */
  public String render(List<Diagnostic> diagnostics) {
    var out = new StringBuilder("[");
    for (int i = 0; i < diagnostics.size(); i++) {
      out.append(i == 0 ? "\n  " : ",\n  ");
      one(diagnostics.get(i), out);
    }
    return out.append(diagnostics.isEmpty() ? "]\n" : "\n]\n").toString();
  }

  private static void one(Diagnostic d, StringBuilder out) {
    out.append('{');
    member("code", d.code(), out).append(", ");
    member("severity", d.severity().name().toLowerCase(java.util.Locale.ROOT), out).append(", ");
    member("message", d.message(), out).append(", ");
    place(d.span(), out);
    out.append(", ");
    member("label", d.label(), out).append(", ");
    member("why", d.why(), out).append(", ");
    member("fix", d.fix(), out).append(", \"related\": [");
    for (int i = 0; i < d.related().size(); i++) {
      out.append(i == 0 ? "{" : ", {");
      place(d.related().get(i).span(), out);
      member("label", d.related().get(i).label(), out.append(", ")).append('}');
    }
    out.append("]}");
  }

  private static void place(Span span, StringBuilder out) {
    SourceFile file = span.file();
    if (file == null) {
      out.append("\"file\": null");
      return;
    }
    member("file", file.name(), out);
    out.append(", \"line\": ").append(file.lineOf(span.start()));
    out.append(", \"column\": ").append(file.columnOf(span.start()));
    out.append(", \"endLine\": ").append(file.lineOf(span.end()));
    out.append(", \"endColumn\": ").append(file.columnOf(span.end()));
  }

  private static StringBuilder member(String key, String value, StringBuilder out) {
    out.append('"').append(key).append("\": \"");
    for (int i = 0; i < value.length(); i++) {
      char c = value.charAt(i);
      if (c == '"' || c == '\\') {
        out.append('\\').append(c);
      } else if (c < ' ' || c == '\u007f' || Character.isSurrogate(c) && !paired(value, i)) {
        out.append(String.format("\\u%04x", (int) c));
      } else {
        out.append(c);
      }
    }
    return out.append('"');
  }

  /** Whether the surrogate at this index is half of a whole character; a lone one is not UTF-8. */
  private static boolean paired(String s, int i) {
    return Character.isHighSurrogate(s.charAt(i))
        ? i + 1 < s.length() && Character.isLowSurrogate(s.charAt(i + 1))
        : i > 0 && Character.isHighSurrogate(s.charAt(i - 1));
  }
}
