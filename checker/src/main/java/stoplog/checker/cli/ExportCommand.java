package stoplog.checker.cli;

import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.certificate.CertificateText;
import stoplog.checker.evidence.RunText;
import stoplog.checker.explore.Budget;
import stoplog.checker.export.HornText;
import stoplog.checker.export.ProofText;
import stoplog.checker.report.Standing;
import stoplog.diag.Closest;
import stoplog.dsl.Reading;
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

  @ArgGroup(multiplicity = "1")
  private @Nullable Format format;

  /** What is written. */
  private static final class Format {
    @Option(
        names = "--horn",
        description = {
          "As constrained Horn clauses in SMT-LIB 2.6. A solver that says unsat has a run that reaches"
              + " the claim's condition, one that says sat has none."
        })
    private boolean horn;

    @Option(
        names = "--proof",
        paramLabel = "FILE",
        description = {
          "The proof that \"check --certificate FILE\" wrote, as questions in SMT-LIB 2.6, logic"
              + " QF_LIRA. If a solver answers each with unsat, the proof stands; it has nothing to"
              + " search for."
        })
    private @Nullable Path proof;
  }

  @Option(names = "--claim", paramLabel = "LABEL", description = "Which claim; --proof knows it.")
  private @Nullable String claimed;

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
    if (plant == null || format == null) {
      throw new IllegalStateException("no plant or no format");
    }
    Reading reading = PlantArgument.reading(surroundings, plant);
    Model model = reading.model();
    if (model == null) {
      return ExitStatus.WRONG_INPUT;
    }
    return format.proof == null ? horn(reading, model) : proof(model, format.proof);
  }

  private int proof(Model model, Path file) {
    if (claimed != null || leaning || !names.isEmpty()) {
      return wrong("a proof knows its claim and what it keeps: --proof stands alone");
    }
    try {
      String text = SealedFile.text(Files.readAllBytes(file));
      if (RunText.isOne(text)) {
        return wrong(file + " holds a run: only a proof can be asked about; verify replays it");
      }
      Certificate certificate = CertificateText.read(text);
      String misfit = CertificateChecker.misfit(model, certificate);
      return misfit == null ? written(ProofText.of(model, certificate)) : wrong(file + ": " + misfit);
    } catch (CertificateText.Damaged e) {
      return wrong(file + ": " + e.getMessage());
    } catch (CharacterCodingException _) {
      return wrong(file + ": it is no UTF-8 text");
    } catch (IOException _) {
      return wrong(file + ": the certificate cannot be read");
    } catch (IllegalArgumentException e) {
      return wrong(file + ": " + e.getMessage());
    }
  }

  private int horn(Reading reading, Model model) {
    String label = claimed;
    if (label == null) {
      return wrong("--horn needs a claim: --claim LABEL");
    }
    List<Claim> asked = model.claims().stream().filter(c -> c.id().equals(label)).toList();
    if (asked.isEmpty()) {
      return wrong(noClaim(reading, model, label));
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
      case Verdict.Reached r ->
          wrong(
              claim.id() + " " + Standing.of(claim, r).words() + ", which a run shows: there is no proof"
                  + " that leans on anything; leave out --leaning");
      case Verdict.Undecided u ->
          Stoplog.complain(
              surroundings, claim.id() + " is undecided: " + u.reason(), ExitStatus.UNDECIDED);
    };
  }

  private static String noClaim(Reading reading, Model model, String label) {
    if (reading.scenarios().stream().anyMatch(s -> s.id().equals(label))) {
      return label + " is a scenario, which is played; only claims can be exported";
    }
    List<String> all = model.claims().stream().map(Claim::id).toList();
    return "the plant has no claim " + label
        + (all.isEmpty() ? "" : "; it has " + String.join(", ", all));
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
