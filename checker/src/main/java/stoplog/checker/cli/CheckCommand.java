package stoplog.checker.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import stoplog.checker.report.CheckJson;
import stoplog.checker.report.CheckRun;
import stoplog.checker.report.CheckText;
import stoplog.checker.report.Concern;
import stoplog.checker.report.Ink;
import stoplog.checker.report.Played;
import stoplog.checker.report.Standing;
import stoplog.diag.Diagnostic;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Claim;
import stoplog.model.Model;

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
      "\"as H-01\": the same question as H-01 asks, about other things that are alike in all it leans",
      "on, so it was not searched for again. A run is replayed for each claim. --claim alone searches.",
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
  private final Surroundings surroundings;
  private final Function<Model, Engine> engines;
  private final Interruption interruption;

  @Mixin private final CheckOptions options = new CheckOptions();

  private List<Concern> concerns = Examination.NOT_YET;

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
    Path file = options.plant();
    var reading = PlantReader.read(file);
    List<Diagnostic> diagnostics = reading.diagnostics();
    Model model = reading.model();
    if (model == null) {
      return refuse(file, diagnostics);
    }
    List<Claim> claims =
        model.claims().stream().filter(c -> options.asksAbout(c.id())).toList();
    var files = new EvidenceFiles(surroundings, options);
    String objection = objection(reading, model, files, claims);
    if (objection != null) {
      return Stoplog.complain(surroundings, objection, ExitStatus.WRONG_INPUT);
    }
    Deciding.Wishes wishes = options.wishes(files.openLedger(model));
    var playing =
        new Playing(
            reading.scenarios().stream().filter(s -> options.asksAbout(s.id())).toList(), wishes);
    var deciding = new Deciding(model, claims, wishes);
    var progress =
        new ProgressLine(
            surroundings.err(), surroundings.errIsTerminal(), interruption::asked);
    if (!options.json()) {
      tell(diagnostics);
    }
    String name = reading.files().isEmpty() ? file.toString() : reading.files().getFirst().name();
    interruption.onStuck(() -> report(name, model, playing, deciding, diagnostics));
    playing.run(engines, progress);
    Engine engine = engines.apply(model);
    deciding.run(engine, progress);
    concerns =
        Examination.of(
            engine, deciding.answers(), !options.asked().isEmpty(), wishes.believed(), progress);
    return interruption.mayReport()
        ? files.write(
            deciding, concerns, report(name, model, playing, deciding, diagnostics))
        : ExitStatus.UNDECIDED;
  }

  /** What is wrong with the command, said before any time is spent; or null. */
  private @Nullable String objection(
      Reading reading, Model model, EvidenceFiles files, List<Claim> claims) {
    String objection = options.objectionToThreads();
    objection = objection == null ? files.objection() : objection;
    objection = objection == null ? objectionToAsked(reading, model) : objection;
    return objection == null ? files.objectionTo(claims) : objection;
  }

  /** That there is nothing to decide, or not what is asked about; or null. */
  private @Nullable String objectionToAsked(Reading reading, Model model) {
    var all = new ArrayList<String>();
    reading.scenarios().forEach(s -> all.add(s.id()));
    model.claims().forEach(c -> all.add(c.id()));
    if (all.isEmpty()) {
      return "plant \"" + model.name() + "\" has no hazard and no requirement: there is nothing to"
          + " decide";
    }
    var unknown = new LinkedHashSet<>(options.asked());
    all.forEach(unknown::remove);
    return unknown.isEmpty()
        ? null
        : "plant \"" + model.name() + "\" has no claim " + String.join(", ", unknown) + "; it has "
            + String.join(", ", all);
  }

  /** The plant could not be read. */
  private int refuse(Path file, List<Diagnostic> diagnostics) {
    if (options.json()) {
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
    PlantArgument.tell(surroundings, diagnostics, surroundings.errIsTerminal() && colourWanted());
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
            !options.asked().isEmpty(), options.whole(), diagnostics, concerns, options.why());
    Throwable broken = playing.broken() != null ? playing.broken() : deciding.broken();
    // A search cut short is told as such whatever it has found so far; so is a fault of our own.
    boolean cut = broken != null || (interruption.asked() && open(run));
    int status = cut ? ExitStatus.UNDECIDED : ExitStatus.of(run.answers(), run.played());
    boolean tellTimes = options.times() || (surroundings.outIsTerminal() && !options.json());
    if (options.json()) {
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
    return surroundings.colour() && !options.noColor();
  }
}
