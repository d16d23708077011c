package stoplog.plants.random;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.abstraction.Settling;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * What each way to decide says of one claim, and where they disagree: every tick of every run, one
 * search of the whole model, and localised searches; each proof is put before the certificate checker
 * and each run before the interpreter.
 *
 * @param problem what is wrong, in one line; {@code null} if all agree
 */
record Comparison(
    TickJudge.Answer judged,
    @Nullable Verdict whole,
    @Nullable Verdict localised,
    @Nullable String problem) {
  private static final Budget BUDGET = new Budget(300_000, 1L << 30, Duration.ofSeconds(60));

  /**
   * @param mostStates the judge gives up beyond this many, and then nothing is compared
   */
  static Comparison of(Model model, Claim claim, long mostStates) {
    TickJudge.Answer judged = TickJudge.reachable(model, claim, mostStates);
    if (judged instanceof TickJudge.TooBig) {
      return new Comparison(judged, null, null, null);
    }
    var reads = new Reads(model);
    Decider.Decision whole = Decider.decideWholeCertified(reads, claim, BUDGET, Progress.NONE);
    Decider.Decision localised = Decider.decideCertified(reads, claim, BUDGET, Progress.NONE);
    String problem =
        first(
            evidence("whole", model, claim, whole),
            evidence("localised", model, claim, localised),
            judged instanceof TickJudge.Yes yes
                ? reachable(yes, whole.verdict(), localised.verdict())
                : unreachable(model, whole.verdict(), localised.verdict()));
    return new Comparison(judged, whole.verdict(), localised.verdict(), problem);
  }

  /** Whether the localised search had to give up where the others did not. */
  boolean leftUndecided() {
    return localised instanceof Verdict.Undecided && !(whole instanceof Verdict.Undecided);
  }

  private static @Nullable String first(@Nullable String... problems) {
    for (String p : problems) {
      if (p != null) {
        return p;
      }
    }
    return null;
  }

  private static @Nullable String evidence(
      String who, Model model, Claim claim, Decider.Decision decision) {
    return switch (decision.verdict()) {
      case Verdict.Proved p -> {
        if (decision.certificate() == null) {
          yield who + ": a proof without a certificate";
        }
        String refusal = CertificateChecker.refusal(model, decision.certificate());
        yield refusal == null ? null : who + ": certificate refused: " + refusal;
      }
      case Verdict.Reached r ->
          Replay.run(model, claim, r.trace()) instanceof Replayed.Invalid invalid
              ? who + ": a run that is none: " + invalid.reason()
              : null;
      case Verdict.Undecided u -> null;
    };
  }

  private static @Nullable String reachable(TickJudge.Yes yes, Verdict whole, Verdict localised) {
    int shortest = yes.trace().steps().size();
    if (!(whole instanceof Verdict.Reached w)) {
      return "the judge has a run, the whole search has none";
    }
    if (w.events() != shortest) {
      return "the judge's run has " + shortest + " steps, the whole search's " + w.events();
    }
    return switch (localised) {
      case Verdict.Proved p -> "the judge has a run, the localised search a proof";
      case Verdict.Reached l when l.fewest() > l.events() || l.fewest() > shortest ->
          "the localised search claims " + l.fewest() + " steps at least, " + shortest + " do";
      case Verdict.Reached l when l.trace().steps().size() < shortest ->
          "the localised search's run is shorter than the judge's";
      case Verdict.Reached l -> null;
      case Verdict.Undecided u -> null;
    };
  }

  private static @Nullable String unreachable(Model model, Verdict whole, Verdict localised) {
    if (localised instanceof Verdict.Reached) {
      return "the judge has no run, the localised search has one";
    }
    if (mayNotSettle(model)) {
      return whole instanceof Verdict.Undecided && localised instanceof Verdict.Undecided
          ? null
          : "logic that may not settle, and a proof";
    }
    return whole instanceof Verdict.Proved
        ? null
        : "the judge has no run, the whole search no proof";
  }

  /** Whether proofs are withheld because scans may follow each other without end. */
  static boolean mayNotSettle(Model model) {
    return model.controller().reactionQuanta() == 0 && !Settling.restless(model).isEmpty();
  }

  /** What each says, one a line. */
  String verdicts() {
    return "  ticks      " + told(judged) + "\n  whole      " + told(whole) + "\n  localised  "
        + told(localised) + "\n";
  }

  private static String told(TickJudge.Answer answer) {
    return switch (answer) {
      case TickJudge.Yes y -> "reachable: " + y.trace();
      case TickJudge.No n -> "unreachable, " + n.states() + " states";
      case TickJudge.TooBig b -> "too big";
    };
  }

  private static String told(@Nullable Verdict verdict) {
    return switch (verdict) {
      case null -> "not asked";
      case Verdict.Proved p -> "proved, kept " + p.kept();
      case Verdict.Reached r ->
          "reached, " + r.events() + " events (" + r.fewest() + " at least): " + r.trace();
      case Verdict.Undecided u -> "undecided: " + u.reason() + ", kept " + u.kept();
    };
  }

  /** The kinds of answers, for those who count. */
  enum Kind {
    REACHABLE,
    UNREACHABLE,
    MAY_NOT_SETTLE,
    TOO_BIG
  }

  Kind kind() {
    return switch (judged) {
      case TickJudge.Yes y -> Kind.REACHABLE;
      case TickJudge.No n ->
          whole instanceof Verdict.Undecided ? Kind.MAY_NOT_SETTLE : Kind.UNREACHABLE;
      case TickJudge.TooBig b -> Kind.TOO_BIG;
    };
  }
}
