package stoplog.checker.cli;

import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import stoplog.checker.analyse.Health;
import stoplog.checker.analyse.Remembered;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.certificate.CertificateText;
import stoplog.checker.evidence.RunText;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.report.StoryTeller;
import stoplog.model.Claim;
import stoplog.model.Model;

/** {@code stoplog verify}: checks a certificate against a plant, whoever made it. */
@Command(
    name = "verify",
    mixinStandardHelpOptions = true,
    synopsisHeading = "Usage: ",
    descriptionHeading = "%n",
    description = {
      "Checks a certificate that \"stoplog check --certificate\" has written, by other means than it"
          + " was made with: a proof is gone through state by state, a run is replayed."
    },
    parameterListHeading = "%n",
    optionListHeading = "%nOptions:%n",
    footer = {
      "",
      "Exit status:",
      "  0  the certificate shows what the line says, for this very plant: a proof, or a run",
      "  1  the certificate is refused: damaged, made for another plant, or it shows nothing",
      "  2  a file cannot be read, or the plant is wrong",
      "  3  not checked: the time budget is used up, interrupted, or stoplog itself failed",
      "",
      "A proof holds for the model, not the plant."
    })
final class VerifyCommand implements Callable<Integer> {
  private final Surroundings surroundings;
  private final Function<Model, Engine> engines;
  private final Interruption interruption;

  @Parameters(index = "0", paramLabel = "FILE", description = "The certificate.")
  private @Nullable Path file;

  @Parameters(
      index = "1",
      paramLabel = "PLANT",
      description = PlantArgument.DESCRIPTION)
  private @Nullable Path plant;

  @Option(
      names = "--budget",
      paramLabel = "LIMIT",
      converter = BudgetOption.class,
      description = "The most time that the check may take, such as time=10min; 5 minutes if not given.")
  private @Nullable Limits limits;

  VerifyCommand(
      Surroundings surroundings, Function<Model, Engine> engines, Interruption interruption) {
    this.surroundings = surroundings;
    this.engines = engines;
    this.interruption = interruption;
  }

  @Override
  public Integer call() {
    Path from = file;
    Path about = plant;
    if (from == null || about == null) {
      throw new IllegalStateException("no certificate or no plant");
    }
    Limits spend = limits == null ? Limits.standard() : limits;
    if (!Set.of("time").containsAll(spend.given())) {
      return Stoplog.complain(
          surroundings, "a check needs a budget of time only", ExitStatus.WRONG_INPUT);
    }
    byte[] bytes;
    try {
      bytes = Files.readAllBytes(from);
    } catch (IOException _) {
      return unreadable(from, about);
    }
    if (isPlant(from)) {
      return unreadable(from, about);
    }
    Model model = PlantArgument.model(surroundings, about);
    if (model == null) {
      return ExitStatus.WRONG_INPUT;
    }
    var progress =
        new ProgressLine(surroundings.err(), surroundings.errIsTerminal(), interruption::asked);
    try {
      String text = SealedFile.text(bytes);
      return RunText.isOne(text)
          ? replay(from, model, RunText.read(model, text))
          : check(from, model, CertificateText.read(text), spend.claim().time(), progress);
    } catch (CertificateText.Damaged e) {
      return refused(from, String.valueOf(e.getMessage()));
    } catch (CharacterCodingException _) {
      return refused(from, "it is no UTF-8 text");
    }
  }

  /** A plant where the certificate should stand is told as what it mostly is: the two the wrong way round. */
  private int unreadable(Path from, Path plant) {
    String what =
        isPlant(from)
            ? from + " is a plant; the certificate comes first: stoplog verify " + plant + " " + from
            : from + ": the certificate cannot be read";
    return Stoplog.complain(surroundings, what, ExitStatus.WRONG_INPUT);
  }

  private static boolean isPlant(Path path) {
    return Files.isDirectory(path) || path.toString().endsWith(".plant");
  }

  private int check(
      Path from, Model model, Certificate certificate, Duration budget, ProgressLine progress) {
    String claim = certificate.claim();
    var time = new CheckingTime(claim, budget, new TotalTime(null), progress);
    progress.begins(claim);
    try {
      return switch (CertificateChecker.check(model, certificate, time)) {
        case CertificateChecker.Outcome.IsRefused(String why) -> refused(from, why);
        case CertificateChecker.Outcome.NotChecked() -> notChecked(from, time);
        case CertificateChecker.Outcome.Stands() -> proved(from, model, certificate, time, progress);
      };
    } finally {
      progress.ends(claim);
    }
  }

  private int notChecked(Path from, CheckingTime time) {
    return Stoplog.complain(
        surroundings, from + " is not checked: " + time.why(), ExitStatus.UNDECIDED);
  }

  /** What voids proofs is no part of a certificate: it is asked of the plant. */
  private int proved(
      Path from, Model model, Certificate certificate, CheckingTime time, ProgressLine progress) {
    for (Health.Finding f : engines.apply(model).examine(null, Duration.ZERO, Remembered.NOTHING, progress)) {
      if (f.kind().voidsProofs()) {
        return refused(from, "it would prove it but for this: " + f.text());
      }
    }
    return progress.stopped()
        ? notChecked(from, time)
        : established(model, certificate);
  }

  private int established(Model model, Certificate certificate) {
    Claim claim = model.claim(certificate.claim());
    String what =
        switch (claim.kind()) {
          case HAZARD -> " proved: ";
          case NEVER, RESPONSE, ALWAYS_CAN -> " holds: ";
          case CAN -> " broken, no run gets there: ";
        };
    surroundings.out().println(
        claim.id() + what + claim.text() + " (" + model.name() + ", "
            + certificate.size() + " states checked)");
    return ExitStatus.ALL_GOOD;
  }

  private int replay(Path from, Model model, RunText.Run run) {
    Claim claim = run.claim();
    if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
      return refused(
          from, claim.id() + " asks for what can always be, and a run does not show that it cannot");
    }
    return switch (Replay.run(model, claim, run.trace())) {
      case Replayed.Invalid(int step, String reason) ->
          refused(
              from,
              (step < 0
                      ? "its start is none"
                      : step < run.trace().steps().size()
                          ? "its step " + (step + 1) + " cannot happen"
                          : "it does not end where it says")
                  + ": " + reason);
      case Replayed.Valid valid -> {
        String what =
            switch (claim.kind()) {
              case HAZARD -> " can happen: ";
              case CAN -> " holds, this run gets there: ";
              case NEVER, RESPONSE, ALWAYS_CAN -> " broken, this run shows it: ";
            };
        surroundings.out().println(
            claim.id() + what + claim.text() + " (" + model.name() + ", "
                + count(valid.moments().size(), "step") + " replayed, "
                + StoryTeller.end(model, claim, run.trace(), valid) + " s)");
        yield ExitStatus.ALL_GOOD;
      }
    };
  }

  private static String count(int number, String thing) {
    return number + " " + thing + (number == 1 ? "" : "s");
  }

  private int refused(Path from, String why) {
    return Stoplog.complain(surroundings, from + " is refused: " + why, ExitStatus.FINDING);
  }
}
