package stoplog.checker.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateText;
import stoplog.checker.evidence.RunText;
import stoplog.checker.report.Answer;
import stoplog.checker.report.Concern;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * The files in which a check leaves what it has found: the certificate of the one claim asked about, and
 * the ledger.
 */
final class EvidenceFiles {
  private final Surroundings surroundings;
  private final @Nullable Path certificate;
  private final @Nullable Path ledgerFile;
  private final List<String> asked;
  private @Nullable Ledger ledger;
  private boolean ledgerWritable = true;

  EvidenceFiles(Surroundings surroundings, CheckOptions options) {
    this.surroundings = surroundings;
    this.certificate = options.certificate();
    this.ledgerFile = options.ledger();
    this.asked = options.asked();
  }

  // ---- before any time is spent

  /** Why nothing can be put where the files are to be, or null. */
  @Nullable String objection() {
    String toLedger = ledgerFile == null ? null : SealedFile.objection(ledgerFile);
    if (toLedger != null) {
      return ledgerFile + ": " + toLedger;
    }
    if (certificate == null) {
      return null;
    }
    if (asked.size() != 1) {
      return "--certificate needs exactly one --claim";
    }
    String objection = SealedFile.objection(certificate);
    return objection == null ? null : certificate + ": " + objection;
  }

  /**
   * Why no certificate can come of it, or null.
   *
   * @param claims those asked about; none if that is a scenario
   */
  @Nullable String objectionTo(List<Claim> claims) {
    boolean scenario = claims.isEmpty();
    if (certificate == null
        || (!scenario && claims.getFirst().kind() != Claim.Kind.ALWAYS_CAN)) {
      return null;
    }
    return "no certificate can be written for " + asked.getFirst() + ": "
        + (scenario
            ? "it is a scenario"
            : "what can always be has no certificate, neither a proof nor a lock-out");
  }

  /** The ledger as it is, or null if none is kept. */
  @Nullable Ledger openLedger(Model model) {
    if (ledgerFile != null) {
      Ledger.Opened opened = Ledger.open(ledgerFile, model);
      ledger = opened.ledger();
      ledgerWritable = !opened.foreign();
      if (opened.ignored() != null) {
        surroundings
            .err()
            .println("stoplog: note: " + ledgerFile + " is not used: " + opened.ignored());
      }
    }
    return ledger;
  }

  // ---- afterwards

  /** The status that comes of it: writing that fails is a fault of the command given. */
  int write(Deciding deciding, List<Concern> concerns, int status) {
    return writeLedger(deciding.model(), writeCertificate(deciding, concerns, status));
  }

  private int writeLedger(Model model, int status) {
    if (ledgerFile == null || ledger == null || !ledgerWritable) {
      return status;
    }
    try {
      ledger.write(ledgerFile, model);
      return status;
    } catch (IOException _) {
      return Stoplog.complain(
          surroundings, ledgerFile + ": the ledger cannot be written", ExitStatus.WRONG_INPUT);
    }
  }

  private int writeCertificate(Deciding deciding, List<Concern> concerns, int status) {
    if (certificate == null) {
      return status;
    }
    String text = text(deciding, concerns);
    if (text == null) {
      return Stoplog.complain(
          surroundings, "no certificate is written: there is neither proof nor run", status);
    }
    try {
      SealedFile.write(certificate, text);
      return status;
    } catch (IOException _) {
      return Stoplog.complain(
          surroundings, certificate + ": the certificate cannot be written", ExitStatus.WRONG_INPUT);
    }
  }

  /** The text of the certificate that shows what the report says, or null. */
  private static @Nullable String text(Deciding deciding, List<Concern> concerns) {
    Certificate proof = deciding.certificate();
    Answer answer = Examination.voided(deciding.answers(), concerns).getFirst();
    return switch (answer.verdict()) {
      case Verdict.Reached r -> RunText.write(deciding.model(), answer.claim(), r.trace());
      case Verdict.Proved _ -> proof == null ? null : CertificateText.write(proof);
      case Verdict.Undecided _ -> null;
    };
  }
}
