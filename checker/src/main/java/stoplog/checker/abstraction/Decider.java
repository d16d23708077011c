package stoplog.checker.abstraction;

import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.Fingerprint;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.model.Verdict;

/**
 * Decides claims: can the claim's condition hold for longer than it may? ({@link LockOuts} decides
 * those about what can always be.) {@link Refinement} says how.
 */
public final class Decider {
  /** Why a claim is undecided for which the process, not the budget, had too little memory. */
  public static final String MEMORY_RAN_OUT = "memory ran out";

  private Decider() {}

  /** Decides one claim of a model. For many claims of one model share the {@link Reads}. */
  public static Verdict decide(Model model, Claim claim, Budget budget, Progress progress) {
    return decide(new Reads(model), claim, budget, progress);
  }

  /** As {@link #decide(Model, Claim, Budget, Progress)}. Never throws for want of memory. */
  public static Verdict decide(Reads reads, Claim claim, Budget budget, Progress progress) {
    return Refinement.of(reads, claim, budget, progress).localised().verdict();
  }

  /**
   * As {@link #decide(Reads, Claim, Budget, Progress)}, beginning with all groups that the claim asks
   * about, alike or not.
   */
  static Verdict decideByGroups(Reads reads, Claim claim, Budget budget, Progress progress) {
    return Refinement.of(reads, claim, budget, progress).namingAnyGroup().localised().verdict();
  }

  /** As {@link #decide(Reads, Claim, Budget, Progress)}, looking first for a run on the whole model. */
  static Verdict decideByPursuit(Reads reads, Claim claim, Budget budget, Progress progress) {
    return Refinement.of(reads, claim, budget, progress).pursuingFirst().localised().verdict();
  }

  /** As {@link #decideCertified}, beginning as where a claim proves hard. */
  static Decision decideAnew(Reads reads, Claim claim, Budget budget, Progress progress) {
    return Refinement.of(reads, claim, budget, progress)
        .making(true, false)
        .beginningAnew()
        .localised();
  }

  /** Decides a question that comes up in the course of another, at the cost of that one. */
  static Verdict decide(Reads reads, Claim claim, Searches searches) {
    return new Refinement(reads, claim, claim, searches).inCourse();
  }

  /** Decides by one search of the whole model; for small plants and for tests. */
  public static Verdict decideWhole(Model model, Claim claim, Budget budget, Progress progress) {
    return Refinement.of(new Reads(model), claim, budget, progress).whole().verdict();
  }

  /**
   * Whether one coarse search shows that no run holds the condition for longer than it may. Quick, and
   * "no" says nothing.
   */
  public static boolean isRuledOut(Reads reads, Claim claim, Budget budget, Progress progress) {
    Verdict verdict = Refinement.of(reads, claim, budget, progress).atOnce().verdict();
    return verdict instanceof Verdict.Proved;
  }

  /**
   * Whether one way back from everywhere is found by which the condition of a claim about what can
   * always be can be reached again. "No" says nothing.
   */
  public static boolean hasWayBack(Reads reads, Claim claim, Budget budget, Progress progress) {
    return new WayBack(reads, claim, new Searches(claim.id(), budget, progress)).isFound();
  }

  /**
   * A verdict and, for a proof, its certificate; none for a proof of what can always be, for which
   * there is no form of certificate yet.
   */
  public record Decision(
      Verdict verdict, @Nullable Certificate certificate, @Nullable Grounds grounds) {
    public Decision(Verdict verdict, @Nullable Certificate certificate) {
      this(verdict, certificate, null);
    }
  }

  /**
   * As {@link #decide(Reads, Claim, Budget, Progress)}, with what a proof stands on; none for a proof of
   * what can always be.
   *
   * @param certified whether with a certificate too
   */
  public static Decision decideRecorded(
      Reads reads, Claim claim, boolean certified, Budget budget, Progress progress) {
    return Refinement.of(reads, claim, budget, progress).making(certified, true).localised();
  }

  /** As {@link #decide(Reads, Claim, Budget, Progress)}, with a certificate. */
  public static Decision decideCertified(
      Reads reads, Claim claim, Budget budget, Progress progress) {
    return Refinement.of(reads, claim, budget, progress).making(true, false).localised();
  }

  /** As {@link #decideWhole(Model, Claim, Budget, Progress)}, with a certificate. */
  public static Decision decideWholeCertified(
      Reads reads, Claim claim, Budget budget, Progress progress) {
    return Refinement.of(reads, claim, budget, progress).making(true, false).whole();
  }

  /**
   * Fingerprint of all of the plant that an answer to the claim can depend on: where it is the same, so is
   * the question, however it is searched for. Null for logic that may not settle: there all of it counts.
   * Sized by the part of the plant that bears on the claim.
   */
  public static @Nullable String question(Reads reads, Claim claim) {
    if (!reads.restless().isEmpty()) {
      return null;
    }
    // A way back may lead through anything, and nothing that is due may stand in its way.
    Kept all =
        claim.kind() == Claim.Kind.ALWAYS_CAN ? Kept.everything(reads) : Cone.of(reads, claim);
    return Fingerprint.of(QuestionText.of(reads, claim, all));
  }

  static List<String> names(Reads reads, Claim claim, Kept kept) {
    return names(reads, claim, kept.followed());
  }

  /** The names that a verdict tells of what was kept: without what other claims remember. */
  static List<String> names(Reads reads, Claim claim, BitSet followed) {
    return followed.stream()
        .mapToObj(reads.model()::variable)
        .filter(v -> v.role() != Role.MONITOR || owns(claim, v))
        .map(Variable::name)
        .toList();
  }

  private static boolean owns(Claim claim, Variable v) {
    return claim.monitors().stream().anyMatch(m -> m.variable() == v.id());
  }
}
