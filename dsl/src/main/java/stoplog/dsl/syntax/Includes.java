package stoplog.dsl.syntax;

import java.util.List;
import stoplog.diag.Diagnostic;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/** Finds the files that a plant text includes. */
public interface Includes {
  /** What became of an {@code include}. */
  sealed interface Found {}

  /** The text, to be read in the place of the entry. */
  record Text(SourceFile file) implements Found {}

  /** The file was read before and is not read again. */
  record Known() implements Found {}

  /** There is no such text, which was told. */
  record Missing() implements Found {}

  /**
   * @param from the file that includes
   * @param path as written
   * @param at where it is written
   */
  Found open(SourceFile from, String path, Span at, List<Diagnostic> diagnostics);
}
