package stoplog.dsl;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.lower.Lowering;
import stoplog.dsl.lower.ScenarioLowering;
import stoplog.dsl.resolve.Resolver;
import stoplog.dsl.resolve.Resolver.Resolved;
import stoplog.dsl.rules.Rules;
import stoplog.dsl.syntax.TreeReader;
import stoplog.dsl.tree.PlantTree;
import stoplog.model.Model;
import stoplog.model.Scenario;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/** Reads plants. What is wrong with a plant or its file is a diagnostic, never an exception. */
public final class PlantReader {
  private static final int MAX_DIAGNOSTICS = 200;

  private PlantReader() {}

  /**
   * The plant of a file, or of a directory that holds exactly one file ending in {@code .plant}.
   */
  public static Reading read(Path plantFileOrDirectory) {
    var diagnostics = new ArrayList<Diagnostic>();
    SourceFile file = PlantFile.load(plantFileOrDirectory, diagnostics);
    return file == null ? new Reading(null, diagnostics, List.of()) : read(file, diagnostics);
  }

  /**
   * The text of such a file, or {@code null} with the reason told. It need not be a plant: a file
   * that others include is none by itself.
   */
  public static @Nullable SourceFile text(
      Path plantFileOrDirectory, List<Diagnostic> diagnostics) {
    return PlantFile.load(plantFileOrDirectory, diagnostics);
  }

  /** The plant of a text in memory. Linear in the length of the text. */
  public static Reading read(SourceFile file) {
    var diagnostics = new ArrayList<Diagnostic>();
    return PlantFile.check(file, diagnostics)
        ? read(file, diagnostics)
        : new Reading(null, diagnostics, List.of(file));
  }

  private static Reading read(SourceFile file, List<Diagnostic> diagnostics) {
    PlantTree tree = TreeReader.read(file, diagnostics);
    Resolved resolved = Resolver.resolve(tree, KindLibrary.shipped(), diagnostics);
    Rules.check(tree, resolved.plant(), diagnostics);
    diagnostics.sort(Comparator.comparingInt(d -> d.span().start()));
    if (diagnostics.size() > MAX_DIAGNOSTICS) {
      Span last = diagnostics.get(MAX_DIAGNOSTICS - 1).span();
      boolean errors = diagnostics.stream().anyMatch(Diagnostic::isError);
      diagnostics.subList(MAX_DIAGNOSTICS, diagnostics.size()).clear();
      if (errors) {
        Span rest = new Span(file, last.start(), last.start());
        diagnostics.add(
            Diagnostic.of(Code.TOO_MANY, rest, "too many errors; those behind this are not shown"));
      }
    }
    if (diagnostics.stream().anyMatch(Diagnostic::isError)) {
      return new Reading(null, diagnostics, List.of(file));
    }
    Model model = Lowering.lower(resolved.plant().withoutScenarios());
    List<Scenario> scenarios = ScenarioLowering.each(resolved.plant());
    return new Reading(model, scenarios, diagnostics, List.of(file));
  }
}
