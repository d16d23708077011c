package stoplog.checker.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** What the user says to {@code stoplog check}. */
final class CheckOptions {
  private static final int MOST_THREADS = 256;

  @Parameters(
      paramLabel = "PLANT",
      description = PlantArgument.DESCRIPTION)
  private @Nullable Path plant;

  @Option(
      names = "--claim",
      paramLabel = "ID",
      description =
          "Decide this claim or scenario only, and tell what its verdict leans on. May be given several"
              + " times.")
  private List<String> claimIds = new ArrayList<>();

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
          "Keep in this file what each verdict stands on, and decide again only what a change of the"
              + " plant touches: lines of verdicts that stand as they were say \"as before\", and runs"
              + " are replayed. A claim left undecided is tried again where something that bears on it"
              + " has changed or the budget is larger in any respect; else its line says \"not tried"
              + " again\". The file is made if it is not there; one that is damaged or of another"
              + " version is made anew, one of another plant is left alone.")
  private @Nullable Path ledgerFile;

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

  Path plant() {
    Path file = plant;
    if (file == null) {
      throw new IllegalStateException("no plant");
    }
    return file;
  }

  /** The claims and scenarios asked about, as often as they are named; empty for all. */
  List<String> asked() {
    var asked = new ArrayList<>(claimIds);
    whyIds.stream().filter(id -> !asked.contains(id)).forEach(asked::add);
    return asked;
  }

  boolean asksAbout(String id) {
    List<String> asked = asked();
    return asked.isEmpty() || asked.contains(id);
  }

  /** The claims of whose verdicts everything is to be listed that they lean on. */
  Set<String> why() {
    return Set.copyOf(whyIds);
  }

  boolean whole() {
    return whole;
  }

  boolean json() {
    return json;
  }

  boolean times() {
    return times;
  }

  boolean noColor() {
    return noColor;
  }

  @Nullable Path certificate() {
    return certificate;
  }

  @Nullable Path ledger() {
    return ledgerFile;
  }

  /** What is wrong with the number of threads, or null. */
  @Nullable String objectionToThreads() {
    return threads == null || (threads >= 1 && threads <= MOST_THREADS)
        ? null
        : "--threads needs a number from 1 to " + MOST_THREADS + ", not " + threads;
  }

  Deciding.Wishes wishes(@Nullable Ledger ledger) {
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
}
