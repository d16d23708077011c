package stoplog.checker.cli;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import stoplog.diag.Diagnostic;
import stoplog.dsl.PlantReader;
import stoplog.dsl.format.Formatter;
import stoplog.source.SourceFile;

/** {@code stoplog format}: writes plant files in the canonical layout. */
@Command(
    name = "format",
    mixinStandardHelpOptions = true,
    synopsisHeading = "Usage: ",
    descriptionHeading = "%n",
    description = {
      "Writes plant files in the canonical layout: the same meaning, the same comments, spaces and"
          + " line breaks set anew."
    },
    parameterListHeading = "%nThe plants:%n",
    optionListHeading = "%nOptions:%n",
    footer = {
      "",
      "Comments, blank lines, and the line breaks behind the colon of a claim stay as they are. A file",
      "with an error of spelling or grammar is left alone and the error shown. Included files are",
      "written only if they are named.",
      "",
      "Exit status:",
      "  0  every file has the canonical layout now",
      "  1  with --check: some file has another layout",
      "  2  a file cannot be read or written, or has an error; that file is as it was",
      "  3  stoplog itself failed; no file is damaged"
    })
final class FormatCommand implements Callable<Integer> {
  private final Surroundings surroundings;

  @Parameters(
      arity = "1..*",
      paramLabel = "PLANT",
      description = "Plant files, or directories that each hold exactly one file ending in .plant.")
  private List<Path> plants = new ArrayList<>();

  @Option(names = "--check", description = "Write nothing, only name the files that would change.")
  private boolean check;

  FormatCommand(Surroundings surroundings) {
    this.surroundings = surroundings;
  }

  @Override
  public Integer call() {
    int worst = ExitStatus.ALL_GOOD;
    for (Path plant : plants) {
      worst = Math.max(worst, format(plant));
    }
    return worst;
  }

  private int format(Path plant) {
    var diagnostics = new ArrayList<Diagnostic>();
    SourceFile file = PlantReader.text(plant, diagnostics);
    String text = file == null ? null : Formatter.format(file, diagnostics);
    if (file == null || text == null) {
      PlantArgument.tell(surroundings, diagnostics, false);
      return ExitStatus.WRONG_INPUT;
    }
    if (text.equals(file.text())) {
      return ExitStatus.ALL_GOOD;
    }
    if (check) {
      surroundings.out().println(file.name() + " has another layout");
      return ExitStatus.FINDING;
    }
    try {
      // Where the name is a link, what it stands for is written, and the link stays.
      Path real = Path.of(file.name()).toRealPath();
      if (!Files.isWritable(real)) {
        throw new AccessDeniedException(file.name());
      }
      WholeFile.write(real, text.getBytes(StandardCharsets.UTF_8));
    } catch (IOException _) {
      return Stoplog.complain(
          surroundings, file.name() + ": the file cannot be written", ExitStatus.WRONG_INPUT);
    }
    surroundings.out().println(file.name() + " is set anew");
    return ExitStatus.ALL_GOOD;
  }
}
