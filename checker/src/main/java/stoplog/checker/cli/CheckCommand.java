package stoplog.checker.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateText;
import stoplog.checker.evidence.RunText;
import stoplog.checker.report.Answer;
import stoplog.checker.report.CheckJson;
import stoplog.checker.report.CheckRun;
import stoplog.checker.report.CheckText;
import stoplog.checker.report.Concern;
import stoplog.checker.report.Ink;
import stoplog.checker.report.Played;
import stoplog.checker.report.Standing;
import stoplog.diag.Diagnostic;
import stoplog.diag.TextRenderer;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;
import stoplog.source.SourceFile;

/** {@code stoplog check}: reads a plant, decides its claims, reports. */
@Command(
    name = "check",
    mixinStandardHelpOptions = true,
    synopsisHeading = "Usage: ",
    descriptionHeading = "%n",
    description = {
      "Decides every hazard and requirement of a plant: proved, or shown with a timed run."
    },
    parameterListHeading = "%nThe plant:%n",
    optionListHeading = "%nOptions:%n",
    footer = {
      "",
      "Prints one line for each scenario and claim, then the story of each scenario that fails, of",
      "each hazard that can happen and of each requirement that is broken, then a summary. What could",
      "not be decided within the budget is \"undecided\", with the reason; that is neither a proof nor",
      "a finding.",
      "",
      "Then, under \"About the plant\", what makes the proofs say less than they seem to: parts of a",
      "hazard that never happen, interlocks that never stop anything, timers that never run,",
      "instruments that are never read; and, worst, deadlines that nothing can meet and logic that",
      "never comes to rest, which void every proof.",
      "",
      "Where a claim allows a time, \"margin 0.6 s of 10 s\" says that at least 0.6 s of the 10 s are",
      "always left; the true margin may be larger. \"never begins\": no run gets there at all.",
      "",
      "The same plant gives the same output, byte for byte: how long it took is told only on a",
      "terminal, or with --times.",
      "",
      "Exit status:",
      "  0  every hazard asked about is proved, every requirement holds, every scenario passes",
      "  1  some hazard can happen, some requirement is broken, or some scenario fails",
      "  2  the plant or the command is wrong",
      "  3  nothing was found, but not everything is decided (budget used up, interrupted, out of",
      "     memory), or stoplog itself failed",
      "",
      "A proof holds for the model, not the plant."
    })
final class CheckCommand implements Callable<Integer> {
  private static final int MOST_THREADS = 256;

  private final Surroundings surroundings;
  private final Function<Model, Engine> engines;
  private final Interruption interruption;

  @Parameters(
      paramLabel = "PLANT",
      description = "A plant file, or a directory that holds exactly one file ending in .plant.")
  private @Nullable Path plant;

  @Option(
      names = "--claim",
      paramLabel = "ID",
      description =
          "Decide this claim or scenario only, and tell what its verdict leans on. May be given several"
              + " times.")
  private List<String> claimIds = new ArrayList<>();

  private List<Concern> concerns = Examination.NOT_YET;

  @Option(
      names = "--why",
      paramLabel = "ID",
      description =
          "As --claim, and list everything that the verdict leans on with its place in the plant text:"
              + " the signals to look at before the proof is signed. May be given several times.")
  private List<String> whyIds = new ArrayList<>();

  @Option(
      names = "--whole",
      description =
          "Search the whole plant instead of only what bears on a claim. For small plants: it takes"
              + " very much longer.")
  private boolean whole;

  @Option(names = "--json", description = "Write one JSON document instead of text.")
  private boolean json;

  @Option(
      names = "--budget",
      paramLabel = "LIMITS",
      converter = BudgetOption.class,
      description =
          "The most that one claim may take, such as states=2000000,memory=4GB,time=10min. Parts left"
              + " out keep their standard: 20 million states, half of the memory stoplog may use,"
              + " 5 minutes. Claims decided at a time share the memory; one that needs more than its"
              + " share is decided again with all of it. total=30min is the time for all claims and"
              + " scenarios together; those not reached by then are undecided.")
  private @Nullable Limits limits;

  @Option(
      names = "--threads",
      paramLabel = "N",
      description =
          "Decide so many claims at a time; as many as the machine has processors if not given. The"
              + " output is the same for any number.")
  private @Nullable Integer threads;

  @Option(
      names = "--certificate",
      paramLabel = "FILE",
      description =
          "Write the proof of the one claim asked about, or the run that was found, to this file, for"
              + " \"stoplog verify\".")
  private @Nullable Path certificate;

  @Option(
      names = "--verify-proofs",
      description =
          "Have every proof checked a second time by other means, from its certificate alone, and"
              + " mark its line. The time of --budget holds for the proof and again for its check: a"
              + " proof not checked by then is undecided. Proofs that something can always be have no"
              + " certificate yet; their lines say so.")
  private boolean verifying;

  @Option(
      names = "--ledger",
      paramLabel = "FILE",
      description =
          "Keep in this file what each proof stands on, and decide again only what a change of the"
              + " plant touches: lines of proofs that stand as they were say \"as before\". Findings are"
              + " decided anew in each run. The file is made if it is not there; one that is damaged or"
              + " of another plant or version is not used.")
  private @Nullable Path ledgerFile;

  private @Nullable Ledger ledger;
  private boolean ledgerWritable = true;

  @Option(
      names = "--no-remedies",
      description =
          "Do not look for interlocks that would stop a hazard found. Looking takes some seconds for"
              + " each.")
  private boolean noRemedies;

  @Option(names = "--times", description = "Tell how long each claim took, terminal or not.")
  private boolean times;

  @Option(names = "--no-color", description = "No colours on a terminal.")
  private boolean noColor;

  CheckCommand(
      Surroundings surroundings,
      Function<Model, Engine> engines,
      Interruption interruption) {
    this.surroundings = surroundings;
    this.engines = engines;
    this.interruption = interruption;
  }

  @Override
  public Integer call() {
    Path file = plant;
    if (file == null) {
      throw new IllegalStateException("no plant");
    }
    whyIds.stream().filter(id -> !claimIds.contains(id)).forEach(claimIds::add);
    var reading = PlantReader.read(file);
    List<Diagnostic> diagnostics = reading.diagnostics();
    Model model = reading.model();
    if (model == null) {
      return refuse(file, diagnostics);
    }
    if (!threadsMakeSense() || !ledgerMakesSense() || !certificateMakesSense() || !askedMakesSense(reading)) {
      return ExitStatus.WRONG_INPUT;
    }
    List<Claim> claims = model.claims().stream().filter(c -> asked(c.id())).toList();
    if (!certifiable(claims)) {
      return ExitStatus.WRONG_INPUT;
    }
    openLedger(model);
    Deciding.Wishes wishes = wishes();
    var playing =
        new Playing(reading.scenarios().stream().filter(s -> asked(s.id())).toList(), wishes);
    var deciding = new Deciding(model, claims, wishes);
    var progress =
        new ProgressLine(
            surroundings.err(), surroundings.errIsTerminal(), interruption::asked);
    if (!json) {
      tell(diagnostics);
    }
    String name = reading.files().isEmpty() ? file.toString() : reading.files().getFirst().name();
    interruption.onStuck(() -> report(name, model, playing, deciding, diagnostics));
    playing.run(engines, progress);
    Engine engine = engines.apply(model);
    deciding.run(engine, progress);
    concerns = Examination.of(engine, deciding.answers(), !claimIds.isEmpty(), progress);
    return interruption.mayReport()
        ? writeLedger(
            model,
            writeCertificate(deciding, report(name, model, playing, deciding, diagnostics)))
        : ExitStatus.UNDECIDED;
  }

  private void openLedger(Model model) {
    Path file = ledgerFile;
    if (file != null) {
      Ledger.Opened opened = Ledger.open(file, model);
      ledger = opened.ledger();
      ledgerWritable = !opened.foreign();
      if (opened.ignored() != null) {
        surroundings.err().println("stoplog: note: " + file + " is not used: " + opened.ignored());
      }
    }
  }

  /** The status that comes of it: writing that fails is a fault of the command given. */
  private int writeLedger(Model model, int status) {
    Path file = ledgerFile;
    if (file == null || ledger == null || !ledgerWritable) {
      return status;
    }
    try {
      ledger.write(file, model);
      return status;
    } catch (IOException _) {
      return Stoplog.complain(
          surroundings, file + ": the ledger cannot be written", ExitStatus.WRONG_INPUT);
    }
  }

  private Deciding.Wishes wishes() {
    int processors = Runtime.getRuntime().availableProcessors();
    Limits spend = limits == null ? Limits.standard() : limits;
    return new Deciding.Wishes(
        whole,
        spend.claim(),
        threads == null ? processors : threads,
        certificate != null,
        verifying,
        !noRemedies,
        new TotalTime(spend.total()),
        ledger);
  }

  private boolean certificateMakesSense() {
    Path to = certificate;
    if (to == null) {
      return true;
    }
    String objection =
        claimIds.size() == 1
            ? SealedFile.objection(to)
            : "--certificate needs exactly one --claim";
    if (objection != null) {
      Stoplog.complain(
          surroundings,
          (claimIds.size() == 1 ? to + ": " : "") + objection,
          ExitStatus.WRONG_INPUT);
    }
    return objection == null;
  }

  private boolean ledgerMakesSense() {
    Path to = ledgerFile;
    String objection = to == null ? null : SealedFile.objection(to);
    if (objection != null) {
      Stoplog.complain(surroundings, to + ": " + objection, ExitStatus.WRONG_INPUT);
    }
    return objection == null;
  }

  /** Says so at once where no certificate can come of it, before any time is spent. */
  private boolean certifiable(List<Claim> claims) {
    boolean scenario = claims.isEmpty();
    if (certificate == null
        || (!scenario && claims.getFirst().kind() != Claim.Kind.ALWAYS_CAN)) {
      return true;
    }
    Stoplog.complain(
        surroundings,
        "no certificate can be written for " + claimIds.getFirst() + ": "
            + (scenario
                ? "it is a scenario"
                : "what can always be has no certificate, neither a proof nor a lock-out"),
        ExitStatus.WRONG_INPUT);
    return false;
  }

  /** The status that comes of it: writing that fails is a fault of the command given. */
  private int writeCertificate(Deciding deciding, int status) {
    Path to = certificate;
    if (to == null) {
      return status;
    }
    String text = certificate(deciding);
    if (text == null) {
      return Stoplog.complain(
          surroundings, "no certificate is written: there is neither proof nor run", status);
    }
    try {
      SealedFile.write(to, text);
      return status;
    } catch (IOException _) {
      return Stoplog.complain(
          surroundings, to + ": the certificate cannot be written", ExitStatus.WRONG_INPUT);
    }
  }

  /** The text of the one that shows what the report says, or null. */
  private @Nullable String certificate(Deciding deciding) {
    Certificate proof = deciding.certificate();
    Answer answer = Examination.voided(deciding.answers(), concerns).getFirst();
    return switch (answer.verdict()) {
      case Verdict.Reached r -> RunText.write(deciding.model(), answer.claim(), r.trace());
      case Verdict.Proved _ -> proof == null ? null : CertificateText.write(proof);
      case Verdict.Undecided _ -> null;
    };
  }

  private boolean threadsMakeSense() {
    boolean sensible = threads == null || (threads >= 1 && threads <= MOST_THREADS);
    if (!sensible) {
      Stoplog.complain(
          surroundings,
          "--threads needs a number from 1 to " + MOST_THREADS + ", not " + threads,
          ExitStatus.WRONG_INPUT);
    }
    return sensible;
  }

  private boolean asked(String id) {
    return claimIds.isEmpty() || claimIds.contains(id);
  }

  /** Whether there is anything to decide and everything asked about is there; if not, that is told. */
  private boolean askedMakesSense(Reading reading) {
    Model model = java.util.Objects.requireNonNull(reading.model());
    var all = new ArrayList<String>();
    reading.scenarios().forEach(s -> all.add(s.id()));
    model.claims().forEach(c -> all.add(c.id()));
    if (all.isEmpty()) {
      Stoplog.complain(
          surroundings,
          "plant \"" + model.name() + "\" has no hazard and no requirement: there is nothing to"
              + " decide",
          ExitStatus.WRONG_INPUT);
      return false;
    }
    var unknown = new LinkedHashSet<>(claimIds);
    all.forEach(unknown::remove);
    if (!unknown.isEmpty()) {
      Stoplog.complain(
          surroundings,
          "plant \"" + model.name() + "\" has no claim " + String.join(", ", unknown) + "; it has "
              + String.join(", ", all),
          ExitStatus.WRONG_INPUT);
      return false;
    }
    return true;
  }

  /** The plant could not be read. */
  private int refuse(Path file, List<Diagnostic> diagnostics) {
    if (json) {
      surroundings.out().print(
          CheckJson.render(
              Stoplog.Version.number(), ExitStatus.WRONG_INPUT, file.toString(), null,
              diagnostics, false, null));
    } else {
      tell(diagnostics);
    }
    return ExitStatus.WRONG_INPUT;
  }

  private void tell(List<Diagnostic> diagnostics) {
    tell(surroundings, diagnostics, surroundings.errIsTerminal() && colourWanted());
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

  private int report(
      String file,
      Model model,
      Playing playing,
      Deciding deciding,
      List<Diagnostic> diagnostics) {
    var run =
        new CheckRun(
            file, model, Examination.voided(deciding.answers(), concerns),
            Examination.voidedRuns(playing.played(), concerns),
            !claimIds.isEmpty(), whole, diagnostics, concerns, Set.copyOf(whyIds));
    Throwable broken = playing.broken() != null ? playing.broken() : deciding.broken();
    // A search cut short is told as such whatever it has found so far; so is a fault of our own.
    boolean cut = broken != null || (interruption.asked() && open(run));
    int status = cut ? ExitStatus.UNDECIDED : ExitStatus.of(run.answers(), run.played());
    boolean tellTimes = times || (surroundings.outIsTerminal() && !json);
    if (json) {
      surroundings.out().print(
          CheckJson.render(
              Stoplog.Version.number(), status, file, run, diagnostics, tellTimes,
              broken == null ? null : Stoplog.describe(broken)));
    } else {
      boolean colour = surroundings.outIsTerminal() && colourWanted();
      surroundings.out().print(
          CheckText.render(run, colour ? Ink.COLOUR : Ink.NONE, tellTimes));
    }
    surroundings.out().flush();
    if (broken != null) {
      Stoplog.internalError(surroundings, broken);
    }
    return status;
  }

  private static boolean open(CheckRun run) {
    return run.count(Standing.UNDECIDED) > 0 || run.count(Played.Outcome.UNDECIDED) > 0;
  }

  private boolean colourWanted() {
    return surroundings.colour() && !noColor;
  }
}
