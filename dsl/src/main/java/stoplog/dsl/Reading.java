package stoplog.dsl;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Diagnostic;
import stoplog.model.Model;
import stoplog.source.SourceFile;

/**
 * What became of a plant file.
 *
 * @param model {@code null} exactly if there is an error among the diagnostics
 * @param diagnostics in the order of their places
 * @param files the files that were read
 */
public record Reading(@Nullable Model model, List<Diagnostic> diagnostics, List<SourceFile> files) {
  public Reading {
    diagnostics = List.copyOf(diagnostics);
    files = List.copyOf(files);
  }
}
