package stoplog.dsl;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Diagnostic;
import stoplog.model.Model;
import stoplog.model.Scenario;
import stoplog.source.SourceFile;

/**
 * What became of a plant file.
 *
 * @param model {@code null} exactly if there is an error among the diagnostics
 * @param scenarios in the order written; none if there is no model
 * @param diagnostics in the order of their places
 * @param files the files that were read
 */
public record Reading(
    @Nullable Model model,
    List<Scenario> scenarios,
    List<Diagnostic> diagnostics,
    List<SourceFile> files) {
  public Reading {
    scenarios = List.copyOf(scenarios);
    diagnostics = List.copyOf(diagnostics);
    files = List.copyOf(files);
  }

  /** What became of a plant without scenarios. */
  public Reading(
      @Nullable Model model, List<Diagnostic> diagnostics, List<SourceFile> files) {
    this(model, List.of(), diagnostics, files);
  }
}
