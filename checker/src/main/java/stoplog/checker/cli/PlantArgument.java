package stoplog.checker.cli;

import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Diagnostic;
import stoplog.diag.TextRenderer;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Model;
import stoplog.source.SourceFile;

/** The plant that a command is about, and what is wrong with it. */
final class PlantArgument {
  static final String DESCRIPTION =
      "A plant file, or a directory that holds exactly one file ending in .plant.";

  private PlantArgument() {}

  /** The model of the plant; null, and told, if there is something wrong with it. */
  static @Nullable Model model(Surroundings surroundings, Path plant) {
    return reading(surroundings, plant).model();
  }

  /** What became of the plant; what is wrong with it is told. */
  static Reading reading(Surroundings surroundings, Path plant) {
    Reading reading = PlantReader.read(plant);
    if (reading.model() == null) {
      tell(surroundings, reading.diagnostics(), false);
    }
    return reading;
  }

  /** Shows what is wrong with a plant text: one line where there is no piece of text to show. */
  static void tell(Surroundings surroundings, List<Diagnostic> diagnostics, boolean colour) {
    var text = new TextRenderer(colour);
    boolean first = true;
    for (Diagnostic d : diagnostics) {
      boolean line = aboutTheFile(d);
      String blank = first || line ? "" : "\n";
      surroundings.err().print(blank + (line ? oneLine(d) : text.render(d)));
      first = false;
    }
  }

  /** Whether the trouble is the file as such: there is no piece of text to show. */
  private static boolean aboutTheFile(Diagnostic d) {
    return d.span().start() == d.span().end() && d.code().startsWith("E01");
  }

  private static String oneLine(Diagnostic d) {
    SourceFile file = d.span().file();
    boolean named = file == null || d.message().contains(file.name());
    return "stoplog: "
        + (named ? "" : file.name() + ": ")
        + d.message()
        + (d.fix().isEmpty() ? "" : "; " + d.fix())
        + " (" + d.code() + ")\n";
  }
}
