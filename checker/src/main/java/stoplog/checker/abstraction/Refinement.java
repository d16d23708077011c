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
  /** Zones of a coarse search up to which it is sooner repeated than patiently refined. */
  private static final long CHEAP_ZONES = 20_000;

  private final Reads reads;
  private final Claim claim;
  private final Searches searches;
  private FirstKept first;
  private boolean certifying;
  private boolean recording;
  private boolean grouping = true;
  private boolean namingAny;
  private final Driving driving;

  /** No path of the system searched last has fewer steps; the one gone on with may have more. */
  private int fewest;

  /** What the search kept that showed how few steps a run has at least. */
  private @Nullable Kept shownWith;

  /** How often a run was looked for on the whole model. */
  private int pursuits;

  private long easy;
  private @Nullable Certificate certificate;
  private @Nullable Grounds grounds;

  /** @param whole the claim of which this is a case, or the claim itself */
  Refinement(Reads reads, Claim claim, Claim whole, Searches searches) {
    this.reads = reads;
    this.claim = claim;
    this.searches = searches;
    this.driving = new Driving(reads, claim, searches);
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

  /** Looks first for a run on the whole model. */
  Refinement pursuingFirst() {
    this.easy = -1;
    return this;
  }

  private Verdict proved(KeptSystem system) {
    if (!reads.restless().isEmpty()) {
      return restless(system.kept());
    }
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
      verdict = undecided("memory ran out", 0, named());
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
      Verdict proved = provedAtOnce(cases.size());
      if (proved != null) {
        return proved;
      }
      Decider.Decision decision = CaseByCase.decide(reads.model(), cases, c -> alone(reads, c), searches);
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

  private Decider.Decision alone(Reads plant, Claim one) {
    var ofCase = new Refinement(plant, one, claim, searches);
    ofCase.certifying = certifying;
    // What stands on more than the plant is carried nowhere.
    ofCase.recording = recording && plant == reads;
    // What the cases before have cost does not make this one hard.
    ofCase.easy = easy < 0 ? easy : easy + searches.visited();
    return new Decider.Decision(ofCase.inOne(), ofCase.certificate, ofCase.grounds);
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
      return refined();
    } catch (Diagram.TooIntricate _) {
      grouping = false;
      return refined();
    }
  }

  private Verdict refined() {
    Kept kept = named();
    while (true) {
      Verdict early = searches.isWorkDone() ? driven(driving.instead(), kept) : null;
      if (early == null && searches.visited() > Searches.easyNodes(easy, pursuits)) {
        early = pursued(kept);
      }
      if (early != null) {
        return early;
      }
      var system = new KeptSystem(reads, claim, kept);
      switch (path(system)) {
        case Search.Outcome.Exhausted e -> {
          return proved(system);
        }
        case Search.Outcome.Stopped s -> {
          boolean goesOn = searches.stopsAt(Searches.easyNodes(easy, pursuits)) && !searches.over();
          Verdict found = driven(driving.instead(), kept);
          if (found == null) {
            found = goesOn ? pursued(kept) : undecided(s.reason(), s.level(), kept);
          }
          if (found != null) {
            return found;
          }
        }
        case Search.Outcome.Found f -> {
          Verdict driven = driven(driving.alongside(fewest), kept);
          if (driven != null) {
            return driven;
          }
          // Starting again is cheap while few variables are kept, and finds the smaller proof.
          boolean patient = claim.kind().wanted() || searches.costOfLast() > CHEAP_ZONES;
          var along =
              new Following(reads, claim, searches, system, f.path(), patient, first.offered(kept))
                  .follow(Searches.easyNodes(easy, pursuits), () -> driving.isCalledFor(fewest));
          switch (along) {
            case Following.Result.Real r -> {
              return reached(r, Searches.CONFIRMING_STATES);
            }
            case Following.Result.Hard h -> {}
            case Following.Result.Refine r -> {
              // Every round must keep more, or this would not end.
              kept = r.kept().equals(kept) ? Kept.everything(reads) : r.kept();
            }
            case Following.Result.Stuck s -> {
              Verdict last = driven(driving.instead(), kept);
              if (last == null && pursuits < 2 && !searches.over()) {
                last = pursued(kept);
              }
              return last != null ? last : undecided(s.reason(), fewest, kept);
            }
          }
        }
      }
    }
  }

  /** @param kept what the search kept that tells how few steps a run may have */
  private @Nullable Verdict pursued(Kept kept) {
    int most =
        pursuits++ == 0 ? Searches.SHORT_PURSUIT_NODES : Searches.LONG_PURSUIT_NODES;
    Following.Result.Real run = Pursuit.run(reads, claim, searches, kept, most);
    return run == null ? null : reached(run, Searches.CONFIRMING_PURSUED_STATES);
  }

  private @Nullable Verdict driven(Errand.@Nullable Run run, Kept kept) {
    if (run == null) {
      return null;
    }
    BitSet leans = new BitSet();
    run.sought().forEach(leans::set);
    recordRun();
    int events = run.trace().steps().size();
    return new Verdict.Reached(
        run.trace(), events, Math.min(fewest, events), names(kept.with(leans, false, reads)),
        searches.effort());
  }

  /**
   * A path of the system, or none. First with one zone for each state, which is cheap; the exact
   * search is needed only where that leads along a path that does not exist.
   */
  private Search.Outcome path(KeptSystem system) {
    Search.Outcome merged =
        searches.runUpTo(system, system.kept(), Search.Zoning.MERGED, Searches.easyNodes(easy, pursuits));
    if (!(merged instanceof Search.Outcome.Found f)) {
      return merged;
    }
    isAtLeast(f.path().steps().length, system.kept());
    var along = new GuidedSystem(system, system, f.path());
    if (searches.runWithin(along, system.kept(), Searches.FOLLOWING_STATES)
        instanceof Search.Outcome.Found real) {
      return new Search.Outcome.Found(Following.cut(real.path(), system.words()));
    }
    Search.Outcome exact =
        searches.runUpTo(system, system.kept(), Search.Zoning.FOR_REACHING, Searches.easyNodes(easy, pursuits));
    if (exact instanceof Search.Outcome.Found found) {
      isAtLeast(found.path().steps().length, system.kept());
    }
    return exact;
  }

  private void isAtLeast(int steps, Kept kept) {
    fewest = steps;
    shownWith = kept;
  }

  /** @param limit of the search for a shorter one */
  private Verdict reached(Following.Result.Real real, long limit) {
    searches.workOn();
    ShortestRun best = ShortestRun.of(reads, claim, searches, real, fewest, limit);
    shownWith = best.least() > fewest ? real.kept() : shownWith;
    recordRun();
    return new Verdict.Reached(
        best.run().trace(), best.run().events(), best.least(), names(best.run().kept()), searches.effort());
  }

  private void recordRun() {
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

  private Verdict undecided(String reason, int covered, Kept kept) {
    return new Verdict.Undecided(reason, covered, names(kept), searches.effort());
  }

  private List<String> names(Kept kept) {
    return Decider.names(reads, claim, kept);
  }
}
