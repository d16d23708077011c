package stoplog.checker.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import stoplog.checker.export.HornText;
import stoplog.model.Claim;
import stoplog.model.Model;

/** {@code stoplog export}: a plant and a claim for other programs. */
@Command(
    name = "export",
    mixinStandardHelpOptions = true,
    synopsisHeading = "Usage: ",
    descriptionHeading = "%n",
    description = {
      "Writes a plant and one of its claims in an open format to the standard output, so that another"
          + " program can be asked for a second opinion."
    },
    parameterListHeading = "%n",
    optionListHeading = "%nOptions:%n",
    footer = {
      "",
      "Exit status:",
      "  0  it is written",
      "  2  the plant or the command is wrong",
      "  3  stoplog itself failed",
      "",
      "What another program says of it holds for the model, not the plant."
    })
final class ExportCommand implements Callable<Integer> {
  private final Surroundings surroundings;

  @Parameters(
      index = "0",
      paramLabel = "PLANT",
      description = PlantArgument.DESCRIPTION)
  private @Nullable Path plant;

  @Option(
      names = "--horn",
      required = true,
      description = {
        "As constrained Horn clauses in SMT-LIB 2.6. A solver that says unsat has a run that reaches"
            + " the claim's condition, one that says sat has none."
      })
  private boolean horn;

  @Option(names = "--claim", paramLabel = "LABEL", required = true, description = "Which claim.")
  private String label = "";

  ExportCommand(Surroundings surroundings) {
    this.surroundings = surroundings;
  }

  @Override
  public Integer call() {
    if (plant == null || !horn) {
      throw new IllegalStateException("no plant or no format");
    }
    Model model = PlantArgument.model(surroundings, plant);
    if (model == null) {
      return ExitStatus.WRONG_INPUT;
    }
    List<Claim> asked = model.claims().stream().filter(c -> c.id().equals(label)).toList();
    if (asked.isEmpty()) {
      return Stoplog.complain(
          surroundings, "the plant has no claim " + label, ExitStatus.WRONG_INPUT);
    }
    if (asked.getFirst().kind() == Claim.Kind.ALWAYS_CAN) {
      return Stoplog.complain(
          surroundings,
          label + " asks for what can always be: clauses can only ask for what can be reached",
          ExitStatus.WRONG_INPUT);
    }
    surroundings.out().print(HornText.of(model, asked.getFirst()));
    return ExitStatus.ALL_GOOD;
  }
}
