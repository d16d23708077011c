package stoplog.dsl;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.syntax.Includes;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/**
 * The files of a plant. Included files are named relative to the file that includes them and lie in
 * the directory of the plant file or below it, links followed. Each is read once, where it is
 * included first.
 */
final class IncludedFiles implements Includes {
  static final int MAX_FILES = 500;

  /** One that was read: where it lies, and what included it ({@code null} for the plant file). */
  private record Member(SourceFile file, Path real, @Nullable Span includedAt) {}

  private final Path directory;
  private final Map<Path, Member> byPath = new HashMap<>();
  private final Map<SourceFile, Member> members = new LinkedHashMap<>();
  private long length;

  /**
   * @throws IOException if the plant file is gone
   */
  IncludedFiles(Path path, SourceFile plant) throws IOException {
    Path parent = path.toAbsolutePath().getParent();
    this.directory = parent == null ? path.toRealPath() : parent.toRealPath();
    add(new Member(plant, path.toRealPath(), null));
  }

  private void add(Member m) {
    byPath.put(m.real(), m);
    members.put(m.file(), m);
    length += m.file().text().length();
  }

  /** All that were read, the plant file first. */
  List<SourceFile> files() {
    return new ArrayList<>(members.keySet());
  }

  @Override
  public Found open(SourceFile from, String path, Span at, List<Diagnostic> diagnostics) {
    Path written;
    try {
      written = Path.of(path);
    } catch (InvalidPathException e) {
      return missing(at, diagnostics);
    }
    if (written.isAbsolute() || path.startsWith("/") || path.matches("[A-Za-z]:.*")) {
      return outside(at, "an included file is named relative to this one", diagnostics);
    }
    Path shown = beside(Path.of(from.name()), written);
    try {
      Path parent = Path.of(from.name()).toAbsolutePath().getParent();
      Path target = (parent == null ? directory : parent.toRealPath()).resolve(written).normalize();
      if (!target.startsWith(directory)) {
        return outside(at, "this path leads out of the plant's directory", diagnostics);
      }
      if (!Files.exists(target)) {
        return missing(at, diagnostics);
      }
      Path real = target.toRealPath();
      if (!real.startsWith(directory)) {
        return outside(at, "this is a link out of the plant's directory", diagnostics);
      }
      if (!Files.isRegularFile(real)) {
        diagnostics.add(Diagnostic.of(Code.UNREADABLE, at, "this is not a file"));
        return new Missing();
      }
      Member known = byPath.get(real);
      return known == null
          ? read(shown, real, at, diagnostics)
          : again(known, from, at, diagnostics);
    } catch (IOException e) {
      diagnostics.add(Diagnostic.of(Code.UNREADABLE, at, "this file cannot be read"));
      return new Missing();
    }
  }

  private static Path beside(Path including, Path written) {
    Path parent = including.getParent();
    return (parent == null ? written : parent.resolve(written)).normalize();
  }

  private Found read(Path shown, Path real, Span at, List<Diagnostic> diagnostics) {
    if (members.size() >= MAX_FILES) {
      diagnostics.add(
          Diagnostic.of(Code.TOO_LARGE, at, "the plant has more than " + MAX_FILES + " files"));
      return new Missing();
    }
    var told = new ArrayList<Diagnostic>();
    SourceFile file = PlantFile.load(shown, told);
    told.forEach(d -> diagnostics.add(d.withRelated(at, "included here")));
    if (file == null) {
      return new Missing();
    }
    if (length + file.text().length() > PlantFile.MAX_BYTES) {
      diagnostics.add(
          Diagnostic.of(
              Code.TOO_LARGE,
              at,
              "the plant with this file is larger than " + (PlantFile.MAX_BYTES >> 20) + " MB"));
      return new Missing();
    }
    add(new Member(file, real, at));
    return new Text(file);
  }

  /** A file that was read before: a circle if it is one of those that led here. */
  private Found again(Member known, SourceFile from, Span at, List<Diagnostic> diagnostics) {
    Span next = at;
    for (Member m = members.get(from); m != null; ) {
      if (m == known) {
        Diagnostic d =
            Diagnostic.of(Code.INCLUDE_CIRCLE, at, "files include each other in a circle")
                .withLabel("leads back to " + known.file().name())
                .withWhy("the plant would never end");
        boolean itself = next == at;
        diagnostics.add(itself ? d : d.withRelated(next, "the circle begins here"));
        return new Missing();
      }
      Span up = m.includedAt();
      next = up == null ? next : up;
      m = up == null || up.file() == null ? null : members.get(up.file());
    }
    return new Known();
  }

  private static Found missing(Span at, List<Diagnostic> diagnostics) {
    diagnostics.add(
        Diagnostic.of(Code.NO_SUCH_FILE, at, "there is no such file")
            .withWhy("an included file is named relative to the file that includes it"));
    return new Missing();
  }

  private static Found outside(Span at, String message, List<Diagnostic> diagnostics) {
    diagnostics.add(
        Diagnostic.of(Code.OUTSIDE_PLANT, at, message)
            .withWhy("a plant is its own directory, which can be moved and kept as a whole"));
    return new Missing();
  }
}
