package stoplog.checker.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import stoplog.checker.explore.Budget;
import stoplog.checker.export.HornText;
import stoplog.diag.Closest;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Variable;
import stoplog.model.Verdict;

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
      "  3  stoplog itself failed, or the claim is undecided that is to be proved first",
      "",
      "What another program says of it holds for the model, not the plant."
    })
final class ExportCommand implements Callable<Integer> {
  private final Surroundings surroundings;
  private final Function<Model, Engine> engines;
  private final Interruption interruption;

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

  @Option(
      names = "--keep",
      paramLabel = "NAME",
      split = ",",
      description = {
        "Write clauses over these variables alone, as \"kept\" of check --json names them; all others"
            + " may have any value at any time. What cannot be reached then cannot be reached by the"
            + " plant either; what can be tells nothing."
      })
  private List<String> names = new ArrayList<>();

  @Option(
      names = "--leaning",
      description = {
        "Prove the claim first, and keep what the proof leans on, as check --why lists it: of a large"
            + " plant mostly little enough for a solver to answer."
      })
  private boolean leaning;

  ExportCommand(
      Surroundings surroundings, Function<Model, Engine> engines, Interruption interruption) {
    this.surroundings = surroundings;
    this.engines = engines;
    this.interruption = interruption;
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
      return wrong("the plant has no claim " + label);
    }
    Claim claim = asked.getFirst();
    if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
      return wrong(
          label + " asks for what can always be: clauses can only ask for what can be reached");
    }
    if (leaning) {
      return leaning(model, claim);
    }
    var unknown = new LinkedHashSet<>(names);
    model.variables().forEach(v -> unknown.remove(v.name()));
    if (!unknown.isEmpty()) {
      return wrong(unknown(model, unknown.getFirst()));
    }
    return written(
        names.isEmpty() ? HornText.of(model, claim) : HornText.keeping(model, claim, names));
  }

  private int leaning(Model model, Claim claim) {
    if (!names.isEmpty()) {
      return wrong("--keep and --leaning both say what is kept: only one of them can");
    }
    var progress =
        new ProgressLine(
            surroundings.err(), surroundings.errIsTerminal(), interruption::asked);
    progress.begins(claim.id());
    Verdict verdict =
        engines.apply(model).decide(claim, false, Budget.standard(), progress);
    progress.ends(claim.id());
    return switch (verdict) {
      case Verdict.Proved p -> written(HornText.keeping(model, claim, p.kept()));
      case Verdict.Reached _ -> wrong(label + " is not proved: a run gets there");
      case Verdict.Undecided u ->
          Stoplog.complain(
              surroundings, label + " is undecided: " + u.reason(), ExitStatus.UNDECIDED);
    };
  }

  /** The name that is none, and what is likely meant: one close to it, or the parts of a thing. */
  private static String unknown(Model model, String name) {
    List<String> all = model.variables().stream().map(Variable::name).toList();
    List<String> parts = all.stream().filter(n -> n.startsWith(name + ".")).toList();
    String close = Closest.to(name, all);
    String none = "the plant has no variable " + name;
    if (!parts.isEmpty()) {
      return none + "; it has " + String.join(", ", parts);
    }
    return close == null ? none : none + "; did you mean " + close + "?";
  }

  private int wrong(String what) {
    return Stoplog.complain(surroundings, what, ExitStatus.WRONG_INPUT);
  }

  private int written(String text) {
    surroundings.out().print(text);
    return ExitStatus.ALL_GOOD;
  }
}
