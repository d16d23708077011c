package stoplog.dsl;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.diag.Uses;
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
   * The plant of a file, or of a directory that holds exactly one file ending in {@code .plant},
   * and of the files it includes.
   */
  public static Reading read(Path plantFileOrDirectory) {
    var diagnostics = new ArrayList<Diagnostic>();
    SourceFile file = PlantFile.load(plantFileOrDirectory, diagnostics);
    if (file == null) {
      return new Reading(null, diagnostics, List.of());
    }
    try {
      var files = new IncludedFiles(Path.of(file.name()), file);
      PlantTree tree = TreeReader.read(file, files, diagnostics);
      return read(tree, files.files(), diagnostics);
    } catch (IOException e) {
      Span top = new Span(file, 0, 0);
      diagnostics.add(Diagnostic.of(Code.UNREADABLE, top, "this file cannot be read"));
      return new Reading(null, diagnostics, List.of(file));
    }
  }

  /**
   * The text of such a file, or {@code null} with the reason told. It need not be a plant: a file
   * that others include is none by itself.
   */
  public static @Nullable SourceFile text(
      Path plantFileOrDirectory, List<Diagnostic> diagnostics) {
    return PlantFile.load(plantFileOrDirectory, diagnostics);
  }

  /**
   * The plant of a text in memory, which can include no files. Linear in the length of the text and
   * of what its templates bring.
   */
  public static Reading read(SourceFile file) {
    var diagnostics = new ArrayList<Diagnostic>();
    return PlantFile.check(file, diagnostics)
        ? read(TreeReader.read(file, diagnostics), List.of(file), diagnostics)
        : new Reading(null, diagnostics, List.of(file));
  }

  private static Reading read(PlantTree tree, List<SourceFile> files, List<Diagnostic> found) {
    Resolved resolved = Resolver.resolve(tree, KindLibrary.shipped(), found);
    Rules.check(tree, resolved.plant(), found);
    boolean errors = found.stream().anyMatch(Diagnostic::isError);
    List<Diagnostic> told = Uses.named(Uses.distinct(found));
    told.sort(inOrderOf(files));
    if (told.size() > MAX_DIAGNOSTICS) {
      Span last = told.get(MAX_DIAGNOSTICS - 1).span();
      told.subList(MAX_DIAGNOSTICS, told.size()).clear();
      if (errors) {
        Span rest = new Span(last.file(), last.start(), last.start());
        told.add(
            Diagnostic.of(Code.TOO_MANY, rest, "too many errors; those behind this are not shown"));
      }
    }
    if (errors) {
      return new Reading(null, told, files);
    }
    Model model = Lowering.lower(resolved.plant().withoutScenarios());
    List<Scenario> scenarios = ScenarioLowering.each(resolved.plant());
    return new Reading(model, scenarios, told, files);
  }

  /** By file, and by place within a file. */
  private static Comparator<Diagnostic> inOrderOf(List<SourceFile> files) {
    Map<SourceFile, Integer> order = new HashMap<>();
    files.forEach(f -> order.put(f, order.size()));
    return Comparator.comparingInt(
            (Diagnostic d) -> {
              SourceFile file = d.span().file();
              return file == null ? -1 : order.getOrDefault(file.original(), -1);
            })
        .thenComparingInt(d -> d.span().start());
  }
}
