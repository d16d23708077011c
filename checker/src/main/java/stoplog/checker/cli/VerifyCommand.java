package stoplog.checker.cli;

import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.certificate.CertificateText;
import stoplog.diag.TextRenderer;
import stoplog.dsl.PlantReader;
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
          + " was made with."
    },
    parameterListHeading = "%n",
    optionListHeading = "%nOptions:%n",
    footer = {
      "",
      "Exit status:",
      "  0  the certificate proves what the line says, for this very plant",
      "  1  the certificate is refused: damaged, made for another plant, or no proof",
      "  2  a file cannot be read, or the plant is wrong",
      "  3  stoplog itself failed",
      "",
      "A proof holds for the model, not the plant."
    })
final class VerifyCommand implements Callable<Integer> {
  private final Surroundings surroundings;

  @Parameters(index = "0", paramLabel = "FILE", description = "The certificate.")
  private @Nullable Path file;

  @Parameters(
      index = "1",
      paramLabel = "PLANT",
      description = "A plant file, or a directory that holds exactly one file ending in .plant.")
  private @Nullable Path plant;

  VerifyCommand(Surroundings surroundings) {
    this.surroundings = surroundings;
  }

  @Override
  public Integer call() {
    Path from = file;
    Path about = plant;
    if (from == null || about == null) {
      throw new IllegalStateException("no certificate or no plant");
    }
    byte[] bytes;
    try {
      bytes = Files.readAllBytes(from);
    } catch (IOException _) {
      return Stoplog.complain(
          surroundings, from + ": the certificate cannot be read", ExitStatus.WRONG_INPUT);
    }
    var reading = PlantReader.read(about);
    Model model = reading.model();
    if (model == null) {
      var text = new TextRenderer(false);
      reading.diagnostics().forEach(d -> surroundings.err().print(text.render(d)));
      return ExitStatus.WRONG_INPUT;
    }
    try {
      Certificate certificate = CertificateFile.read(bytes);
      String refusal = CertificateChecker.refusal(model, certificate);
      return refusal == null ? established(model, certificate) : refused(from, refusal);
    } catch (CertificateText.Damaged e) {
      return refused(from, String.valueOf(e.getMessage()));
    } catch (CharacterCodingException _) {
      return refused(from, "it is no UTF-8 text");
    }
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
            + certificate.states().size() + " states checked)");
    return ExitStatus.ALL_GOOD;
  }

  private int refused(Path from, String why) {
    return Stoplog.complain(surroundings, from + " is refused: " + why, ExitStatus.FINDING);
  }
}
