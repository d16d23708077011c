package stoplog.diag;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/**
 * Findings about text that is used several times, such as a template. What is found at one place in
 * every use has one cause, and is told of the first use only.
 */
public final class Uses {
  private Uses() {}

  private record Place(String code, SourceFile file, int start, int end) {
    Place with(Code other) {
      return new Place(other.id(), file, start, end);
    }
  }

  /** The findings without those that say of a further use what was said of the first. Linear. */
  public static List<Diagnostic> distinct(List<Diagnostic> findings) {
    var distinct = new ArrayList<Diagnostic>(findings.size());
    Set<Place> told = new HashSet<>();
    for (Diagnostic d : findings) {
      SourceFile file = d.span().file();
      if (file == null || !isUsed(d.span())) {
        distinct.add(d);
        continue;
      }
      var place = new Place(d.code(), file.original(), d.span().start(), d.span().end());
      // A part that could not be filled in leads to nonsense, of which no more is said.
      if (!told.contains(place.with(Code.WRONG_FILLING))
          && !told.contains(place.with(Code.OPEN_PART))
          && told.add(place)) {
        distinct.add(d);
      }
    }
    return distinct;
  }

  /** Whether the text is read several times: in uses, or for each number of a range. */
  private static boolean isUsed(Span span) {
    SourceFile file = span.file();
    return file != null && (file.use() != null || span.text().contains(".."));
  }

  /** The same with the use that each finding is of, and the use around that, as further places. */
  public static List<Diagnostic> named(List<Diagnostic> findings) {
    var named = new ArrayList<Diagnostic>(findings.size());
    for (Diagnostic d : findings) {
      Diagnostic more = uses(d, d.span(), "in this use");
      for (Diagnostic.Related r : d.related()) {
        if (r.span().file() != d.span().file()) {
          more = uses(more, r.span(), r.label() + " in this use");
        }
      }
      named.add(more);
    }
    return named;
  }

  private static Diagnostic uses(Diagnostic d, Span inner, String label) {
    Diagnostic more = d;
    SourceFile file = inner.file();
    while (file != null && file.use() != null) {
      Span use = file.use();
      more = more.withRelated(use, label);
      file = use.file();
    }
    return more;
  }
}
