package stoplog.checker.abstraction;

import java.util.BitSet;
import java.util.List;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.CutShort;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.zone.Federation;
import stoplog.model.Claim;
import stoplog.model.Verdict;

/**
 * Decides one claim.
 *
 * <p>It starts with the variables the claim names and hides all others. If the goal cannot be reached
 * there, it cannot be reached. If it can, {@link Following} looks for a run of the whole model along
 * the path found; where there is none it says which hidden variables stand in the way, and the search
 * starts again with those kept. Every round keeps more, so this ends, at the latest with the part of
 * the plant that can influence the claim.
 */
final class Refinement {
  /** Changes of a group that is kept, times its members, up to which that takes no longer than like cases. */
  private static final int STEPS_OF_FEW = 256;

  private final Reads reads;
  private final Claim claim;
  private final Searches searches;
  private FirstKept first;
  private boolean certifying;
  private boolean recording;
  private boolean grouping = true;
  private boolean namingAny;
  private boolean anewFirst;

  private long easy;
  private @Nullable Certificate certificate;
  private @Nullable Grounds grounds;
  private @Nullable Kept provedWith;

  /** @param whole the claim of which this is a case, or the claim itself */
  Refinement(Reads reads, Claim claim, Claim whole, Searches searches) {
    this.reads = reads;
    this.claim = claim;
    this.searches = searches;
    this.easy = claim.kind().wanted() ? Searches.EASY_NODES_IF_WANTED : Searches.EASY_NODES;
    this.first = new FirstKept(reads, claim, whole, false);
  }

  static Refinement of(Reads reads, Claim claim, Budget budget, Progress progress) {
    return new Refinement(reads, claim, claim, new Searches(claim.id(), budget, progress));
  }

  /** @param grounds whether to say what a verdict stands on */
  Refinement making(boolean certificate, boolean grounds) {
    this.certifying = certificate;
    this.recording = grounds;
    return this;
  }

  /** Begins with all groups that the claim asks about, alike or not. */
  Refinement namingAnyGroup() {
    this.namingAny = true;
    this.first = new FirstKept(reads, claim, claim, true);
    return this;
  }

  /** Begins as where a question proves hard. */
  Refinement beginningAnew() {
    this.anewFirst = true;
    return this;
  }

  /** Looks first for a run on the whole model. */
  Refinement pursuingFirst() {
    this.easy = -1;
    return this;
  }

  /** The verdict on a system whose search was exhausted just now. */
  Verdict proved(KeptSystem system) {
    if (!reads.restless().isEmpty()) {
      return restless(system.kept());
    }
    provedWith = system.kept();
    if (certifying) {
      certificate = CertificateWriter.of(reads.model(), claim, system, searches.last());
    }
    if (recording) {
      grounds = Grounds.of(reads, claim, system.kept());
    }
    long longest = searches.last().longestGoal();
    return new Verdict.Proved(longest, names(system.kept()), searches.effort());
  }

  /** A proof of what can always be. */
  private Verdict proved(Kept kept) {
    return reads.restless().isEmpty()
        ? new Verdict.Proved(0, names(kept), searches.effort())
        : restless(kept);
  }

  private Verdict restless(Kept kept) {
    return undecided(
        "scans may follow each other without end while time stands still; what may not settle: "
            + String.join(", ", reads.restless()),
        0,
        kept);
  }

  private Decider.Decision guarded(Supplier<Verdict> question) {
    Verdict verdict;
    try {
      verdict = question.get();
    } catch (OutOfMemoryError e) {
      searches.forget();
      verdict = undecided(Decider.MEMORY_RAN_OUT, 0, named());
    } catch (CutShort e) {
      verdict = undecided(e.reason(), 0, named());
    }
    return new Decider.Decision(verdict, certificate, grounds);
  }

  private Kept named() {
    return first.named(grouping);
  }

  /** What can always be is another question, asked in another way. */
  private Verdict lockOuts(boolean whole) {
    var lockOuts = new LockOuts(reads, claim, searches);
    LockOuts.Result result;
    try {
      result = whole ? lockOuts.whole() : lockOuts.localised();
    } catch (Federation.TooHard _) {
      return undecided("the ways back are too many to tell apart", 0, named());
    }
    return switch (result) {
      case LockOuts.Result.None none -> proved(none.kept());
      case LockOuts.Result.Found f ->
          new Verdict.Reached(
              f.trace(), f.events(), f.fewest(), names(f.kept()), searches.effort());
      case LockOuts.Result.Unknown u -> undecided(u.reason(), 0, u.kept());
    };
  }

  /** Never throws for want of memory. */
  Decider.Decision localised() {
    return guarded(this::inCourse);
  }

  /** The verdict on a question that comes up in the course of another. */
  Verdict inCourse() {
    if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
      return lockOuts(false);
    }
    List<Claim> cases = namingAny ? List.of(claim) : Cases.of(reads, claim);
    if (cases.size() > 1) {
      var like = new LikeCases(reads, cases.size());
      Verdict proved = areAlike(cases, like) ? null : provedAtOnce(cases.size());
      if (proved != null) {
        return proved;
      }
      Decider.Decision decision = 
          CaseByCase.decide(reads, cases, like, c -> alone(reads, c), searches);
      if (!(decision.verdict() instanceof Verdict.Undecided) || searches.over()) {
        certificate = decision.certificate();
        grounds = decision.grounds();
        return decision.verdict();
      }
    }
    Decider.Decision parted = namingAny ? null : LastToHold.decided(reads, claim, this::alone, searches);
    if (parted != null) {
      certificate = parted.certificate();
      return parted.verdict();
    }
    return inOne();
  }

  /**
   * Whether there are many cases of which the first is easily proved, and that holds for the second too: then
   * all of them together take little longer than one. With few a group of them takes no longer, and says
   * the same with less.
   */
  private boolean areAlike(List<Claim> cases, LikeCases like) {
    Kept kept = named();
    if (kept.groups().isEmpty()
        || KeptSteps.bearingOn(reads, claim, kept).cardinality() * cases.size() <= STEPS_OF_FEW) {
      return false;
    }
    Refinement first = alone(reads, cases.getFirst());
    Verdict proved = null;
    try {
      proved = first.provedEasily(first.named(), StepLimits.EASY);
    } catch (Diagram.TooIntricate _) {
      // Then they are not easy.
    }
    if (proved == null) {
      return false;
    }
    like.add(cases.getFirst(), new Decider.Decision(proved, first.certificate, first.grounds), first.provedWith);
    return like.carriedOver(cases.get(1)) != null;
  }

  /**
   * Where the things are a group, or the cases are about few variables, one search may do for all cases;
   * null if it does not.
   */
  private @Nullable Verdict provedAtOnce(int cases) {
    Kept kept = named();
    if (kept.groups().isEmpty() && kept.variables().cardinality() >= cases) {
      return null;
    }
    try {
      return provedEasily(kept, StepLimits.STANDARD);
    } catch (Diagram.TooIntricate _) {
      return null;
    }
  }

  private @Nullable Verdict provedEasily(Kept kept, StepLimits limits) {
    var system = new KeptSystem(reads, claim, kept);
    system.keepTo(limits);
    return searches.runUpTo(system, kept, Search.Zoning.MERGED, Searches.TRYING_STATES)
            instanceof Search.Outcome.Exhausted
        ? proved(system)
        : null;
  }

  /** The question of a case, to be decided by itself. */
  private Refinement alone(Reads plant, Claim one) {
    var ofCase = new Refinement(plant, one, claim, searches);
    ofCase.certifying = certifying;
    ofCase.anewFirst = anewFirst;
    // What stands on more than the plant is carried nowhere.
    ofCase.recording = recording && plant == reads;
    // What the cases before have cost does not make this one hard.
    ofCase.easy = easy < 0 ? easy : easy + searches.visited();
    return ofCase;
  }

  /** The claim taken as it is, not by cases. */
  Decider.Decision decidedInOne() {
    return new Decider.Decision(inOne(), certificate, grounds);
  }

  /** What the search kept that has proved it; null if none has. */
  @Nullable Kept provedWith() {
    return provedWith;
  }

  private Verdict inOne() {
    // That no two of many things are so is mostly so because each waits for all others. Then the things tell
    // it in about as many states as there are things, and whether two are so does not.
    boolean several = !namingAny && named().groups().stream().anyMatch(g -> g.atLeast() > 1);
    Verdict proved = several ? provedEasily(first.named(false), StepLimits.EASY) : null;
    if (proved != null) {
      return proved;
    }
    try {
      return rounds().run();
    } catch (Diagram.TooIntricate _) {
      grouping = false;
      return rounds().run();
    }
  }

  private Rounds rounds() {
    return new Rounds(this, reads, claim, searches, first, grouping, easy, anewFirst);
  }

  /** Notes what tells how few steps a run that is found has at least. */
  void recordRun(@Nullable Kept shownWith) {
    if (recording && shownWith != null) {
      grounds = Grounds.of(reads, claim, shownWith);
    }
  }

  /** By one search of the whole model. Never throws for want of memory. */
  Decider.Decision whole() {
    return guarded(this::wholeModel);
  }

  /** By one coarse search. Never throws for want of memory. */
  Decider.Decision atOnce() {
    grouping = false;
    return guarded(
        () -> {
          Kept kept = named();
          var system = new KeptSystem(reads, claim, kept);
          return searches.run(system, kept, Search.Zoning.MERGED) instanceof Search.Outcome.Exhausted
              ? proved(system)
              : undecided("one search does not rule it out", 0, kept);
        });
  }

  private Verdict wholeModel() {
    if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
      return lockOuts(true);
    }
    Kept kept = Kept.everything(reads);
    var system = new KeptSystem(reads, claim, kept);
    return switch (searches.run(system, kept, Search.Zoning.FOR_REACHING)) {
      case Search.Outcome.Exhausted e -> proved(system);
      case Search.Outcome.Stopped s -> undecided(s.reason(), s.level(), kept);
      case Search.Outcome.Found f -> {
        int steps = f.path().steps().length;
        yield switch (Completion.check(reads, claim, system, f.path())) {
          case Completion.Valid v ->
              new Verdict.Reached(v.trace(), steps, steps, names(kept), searches.effort());
          case Completion.Refused r -> undecided(r.reason(), steps, kept);
        };
      }
    };
  }

  Verdict undecided(String reason, int covered, Kept kept) {
    return new Verdict.Undecided(reason, covered, names(kept), searches.effort());
  }

  List<String> names(Kept kept) {
    return Decider.names(reads, claim, kept);
  }
}
