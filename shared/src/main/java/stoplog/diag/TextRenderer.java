package stoplog.diag;

import java.util.ArrayList;
import java.util.List;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/**
 * A diagnostic as text for people:
 *
 * <pre>
 * skid.plant:41:35: error E0312: this delay has no unit
 *
 *    41 |   trip "low level" : LSL-201 for 5
 *       |                                  ^ needs ms, s, min or h
 *
 *    why   5 ms and 5 min are different plants
 *    fix   for 5 s
 * </pre>
 *
 * <p>Carets stand under the culprit, {@code ~~~} under places that contribute. Long lines are cut
 * to a piece around the culprit, and control characters of the plant text are shown as a dot, so
 * that a plant text cannot write to the terminal.
 */
public final class TextRenderer {
  private static final int WIDTH = 100;
  private static final int BEFORE = 60;

  private final boolean colour;

  /**
   * @param colour whether to use ANSI colours
   */
  public TextRenderer(boolean colour) {
    this.colour = colour;
  }

  /** All of them in the order given, an empty line between two. */
  public String render(List<Diagnostic> diagnostics) {
    var out = new StringBuilder();
    for (Diagnostic d : diagnostics) {
      if (!out.isEmpty()) {
        out.append('\n');
      }
      out.append(render(d));
    }
    return out.toString();
  }

  /** One of them, ending with a line end. */
  public String render(Diagnostic d) {
    var out = new StringBuilder();
    SourceFile file = d.span().file();
    if (file != null) {
      out.append(bold(clean(d.span().place()) + ": "));
    }
    String word = d.severity().name().toLowerCase(java.util.Locale.ROOT) + " " + d.code() + ": ";
    out.append(paint(tint(d.severity()), word)).append(bold(clean(d.message()))).append('\n');
    // A finding about the file as a whole has a place but no stretch of text worth showing.
    if (file != null && d.span().end() > d.span().start()) {
      out.append('\n');
      source(d, file, out);
    }
    if (!d.why().isEmpty() || !d.fix().isEmpty()) {
      out.append('\n');
      advice("why", d.why(), out);
      advice("fix", d.fix(), out);
    }
    return out.toString();
  }

  private void source(Diagnostic d, SourceFile file, StringBuilder out) {
    int gutter = Math.max(5, 1 + Integer.toString(file.lineCount()).length());
    int line = file.lineOf(d.span().start());
    var marks = new ArrayList<Mark>();
    marks.add(new Mark(d.span(), d.label(), '^'));
    for (Diagnostic.Related r : d.related()) {
      if (sameLine(r.span(), file, line)) {
        marks.add(new Mark(r.span(), r.label(), '~'));
      }
    }
    line(file, line, marks, gutter, d.severity(), out);
    for (Diagnostic.Related r : d.related()) {
      SourceFile other = r.span().file();
      if (other != null && !sameLine(r.span(), file, line)) {
        if (other.original() != file.original()) {
          out.append("   ").append(clean(other.name())).append('\n');
        }
        var mark = List.of(new Mark(r.span(), r.label(), '~'));
        line(other, other.lineOf(r.span().start()), mark, gutter, d.severity(), out);
      }
    }
  }

  private static boolean sameLine(Span span, SourceFile file, int line) {
    return span.file() != null
        && span.file().original() == file.original()
        && file.lineOf(span.start()) == line;
  }

  private record Mark(Span span, String label, char sign) {}

  private void line(
      SourceFile file,
      int line,
      List<Mark> marks,
      int gutter,
      Diagnostic.Severity s,
      StringBuilder out) {
    // In offsets of the file, so that a line of megabytes is not copied for each of its findings.
    String text = file.text();
    int begin = file.startOf(line);
    int end = file.endOf(line);
    int from = Math.max(begin, Math.min(marks.getFirst().span().start() - BEFORE, end - WIDTH));
    int to = Math.min(end, from + WIDTH);
    from -= from > begin && Character.isLowSurrogate(text.charAt(from)) ? 1 : 0;
    to += to < end && Character.isLowSurrogate(text.charAt(to)) ? 1 : 0;
    String lead = from > begin ? "..." : "";
    String shown = lead + clean(text.substring(from, to)).stripTrailing() + (to < end ? "..." : "");
    String number = Integer.toString(line);
    out.append(" ".repeat(gutter - number.length())).append(bold(number + " | "));
    out.append(shown).append('\n');
    for (Mark mark : marks) {
      int first = Math.clamp(mark.span().start(), from, to);
      int last = Math.clamp(mark.span().end(), first, to);
      String sign =
          String.valueOf(mark.sign()).repeat(Math.max(1, text.codePointCount(first, last)));
      String label = mark.label().isEmpty() ? "" : " " + clean(mark.label());
      out.append(" ".repeat(gutter)).append(bold(" | "));
      out.append(" ".repeat(lead.length() + text.codePointCount(from, first)));
      out.append(paint(mark.sign() == '^' ? tint(s) : "34", sign + label)).append('\n');
    }
  }

  private void advice(String what, String text, StringBuilder out) {
    if (!text.isEmpty()) {
      String indented =
          text.lines()
              .map(TextRenderer::clean)
              .collect(java.util.stream.Collectors.joining("\n         "));
      out.append("   ").append(bold(what)).append("   ").append(indented).append('\n');
    }
  }

  private static String clean(String s) {
    return Visible.of(s.replace('\t', ' '));
  }

  private static String tint(Diagnostic.Severity s) {
    return switch (s) {
      case ERROR -> "1;31";
      case WARNING -> "1;33";
      case NOTE -> "1;36";
    };
  }

  private String bold(String s) {
    return paint("1", s);
  }

  private String paint(String code, String s) {
    return colour ? "\u001b[" + code + "m" + s + "\u001b[0m" : s;
  }
}
