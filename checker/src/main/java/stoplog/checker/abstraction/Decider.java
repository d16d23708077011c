package stoplog.checker.abstraction;

import java.util.BitSet;
import java.util.Collection;
import java.util.LinkedHashSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.zone.Federation;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.model.Verdict;

/**
 * Decides claims: can the claim's condition hold for longer than it may? ({@link LockOuts} decides
 * those about what can always be.)
 *
 * <p>It starts with the variables the claim names and hides all others. If the goal cannot be reached
 * there, it cannot be reached. If it can, {@link Following} looks for a run of the whole model along
 * the path found; where there is none it says which hidden variables stand in the way, and the search
 * starts again with those kept. Every round keeps more, so this ends, at the latest with the part of
 * the plant that can influence the claim.
 */
public final class Decider {
  /** Zones of a coarse search up to which it is sooner repeated than patiently refined. */
  private static final long CHEAP_ZONES = 20_000;

  /**
   * Variables of a plant up to which a run that is wanted is searched for first: that makes for the
   * shorter story. In larger plants it costs what the other copies of things do too.
   */
  private static final int SEARCHED_FIRST = 150;

  private final Reads reads;
  private final Claim claim;

  /** The claim of which this is a case, or the claim itself. */
  private Claim whole;

  private final Searches searches;
  private boolean certifying;
  private boolean recording;
  private boolean grouping = true;
  private boolean namingAny;
  private boolean errandTried;
  private final Groups groups;
  private @Nullable Collection<Group> offered;

  /** No path of the system searched last has fewer steps; the one gone on with may have more. */
  private int fewest;

  /** What the search kept that showed how few steps a run has at least. */
  private @Nullable Kept shownWith;

  /** How often a run was looked for on the whole model. */
  private int pursuits;

  private long easy;

  private @Nullable Certificate certificate;
  private @Nullable Grounds grounds;

  private Decider(Reads reads, Claim claim, Budget budget, Progress progress) {
    this(reads, claim, new Searches(claim.id(), budget, progress));
  }

  private Decider(Reads reads, Claim claim, Searches searches) {
    this.reads = reads;
    this.claim = claim;
    this.whole = claim;
    this.searches = searches;
    this.easy = claim.kind().wanted() ? Searches.EASY_NODES_IF_WANTED : Searches.EASY_NODES;
    this.groups = new Groups(reads.model());
  }

  /** Decides one claim of a model. For many claims of one model share the {@link Reads}. */
  public static Verdict decide(Model model, Claim claim, Budget budget, Progress progress) {
    return decide(new Reads(model), claim, budget, progress);
  }

  /** As {@link #decide(Model, Claim, Budget, Progress)}. Never throws for want of memory. */
  public static Verdict decide(Reads reads, Claim claim, Budget budget, Progress progress) {
    var decider = new Decider(reads, claim, budget, progress);
    return decider.guarded(decider::localised);
  }

  /**
   * As {@link #decide(Reads, Claim, Budget, Progress)}, beginning with all groups that the claim asks
   * about, alike or not.
   */
  static Verdict decideByGroups(Reads reads, Claim claim, Budget budget, Progress progress) {
    var decider = new Decider(reads, claim, budget, progress);
    decider.namingAny = true;
    return decider.guarded(decider::localised);
  }

  /** As {@link #decide(Reads, Claim, Budget, Progress)}, looking first for a run on the whole model. */
  static Verdict decideByPursuit(Reads reads, Claim claim, Budget budget, Progress progress) {
    var decider = new Decider(reads, claim, budget, progress);
    decider.easy = -1;
    return decider.guarded(decider::localised);
  }

  /** Decides a question that comes up in the course of another, at the cost of that one. */
  static Verdict decide(Reads reads, Claim claim, Searches searches) {
    return new Decider(reads, claim, searches).localised();
  }

  /** Decides by one search of the whole model; for small plants and for tests. */
  public static Verdict decideWhole(Model model, Claim claim, Budget budget, Progress progress) {
    var decider = new Decider(new Reads(model), claim, budget, progress);
    return decider.guarded(decider::whole);
  }

  /**
   * Whether one coarse search shows that no run holds the condition for longer than it may. Quick, and
   * "no" says nothing.
   */
  public static boolean isRuledOut(Reads reads, Claim claim, Budget budget, Progress progress) {
    var decider = new Decider(reads, claim, budget, progress);
    decider.grouping = false;
    Verdict verdict =
        decider.guarded(
            () -> {
              Kept kept = decider.named();
              var system = new KeptSystem(reads, claim, kept);
              return decider.searches.run(system, kept, Search.Zoning.MERGED) instanceof Search.Outcome.Exhausted
                  ? decider.proved(system)
                  : decider.undecided("one search does not rule it out", 0, kept);
            });
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
    var decider = new Decider(reads, claim, budget, progress);
    decider.certifying = certified;
    decider.recording = true;
    Verdict verdict = decider.guarded(decider::localised);
    return new Decision(verdict, decider.certificate, decider.grounds);
  }

  /** As {@link #decide(Reads, Claim, Budget, Progress)}, with a certificate. */
  public static Decision decideCertified(
      Reads reads, Claim claim, Budget budget, Progress progress) {
    var decider = new Decider(reads, claim, budget, progress);
    decider.certifying = true;
    Verdict verdict = decider.guarded(decider::localised);
    return new Decision(verdict, decider.certificate);
  }

  /** As {@link #decideWhole(Model, Claim, Budget, Progress)}, with a certificate. */
  public static Decision decideWholeCertified(
      Reads reads, Claim claim, Budget budget, Progress progress) {
    var decider = new Decider(reads, claim, budget, progress);
    decider.certifying = true;
    Verdict verdict = decider.guarded(decider::whole);
    return new Decision(verdict, decider.certificate);
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

  private Verdict guarded(java.util.function.Supplier<Verdict> question) {
    try {
      return question.get();
    } catch (OutOfMemoryError e) {
      searches.forget();
      return undecided("memory ran out", 0, named());
    }
  }

  private Kept named() {
    Collection<Group> told = namedGroups();
    BitSet named = groups.readsBeside(claim.condition(), told);
    claim.monitors().forEach(m -> named.set(m.variable()));
    // What a case remembers beside is about all of the others.
    whole.monitors().forEach(m -> named.or(groups.readsBeside(m.value(), told)));
    return new Kept(reads.influence().chains(named, reads.power()), false).with(told);
  }

  /** Groups that the claim asks about, of so many variables that they are not kept one by one. */
  private Collection<Group> namedGroups() {
    var found = new LinkedHashSet<Group>();
    if (grouping) {
      found.addAll(groups.in(claim.condition()));
      whole.monitors().forEach(m -> found.addAll(groups.in(m.value())));
      found.removeIf(g -> !namingAny && !areAlike(g));
    }
    return found;
  }

  /** Whether a group is of like things; a conjunction of all sorts of things is no good group. */
  private boolean areAlike(Group group) {
    Variable first = reads.model().variable(group.members().getFirst().variable());
    long values = group.members().getFirst().values();
    return group.members().stream()
        .allMatch(
            m -> {
              Variable v = reads.model().variable(m.variable());
              return m.values() == values && v.role() == first.role() && v.size() == first.size();
            });
  }

  /**
   * Groups that may be kept in place of the variables that they are about. Offered to claims that ask
   * about none, they made a proof of a shipped plant keep more; and to find them is to go through the
   * plant.
   */
  private Collection<Group> offered(Kept kept) {
    if (kept.groups().isEmpty()) {
      return List.of();
    }
    if (offered == null) {
      offered = groups.all(claim);
    }
    return offered;
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

  private Verdict localised() {
    if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
      return lockOuts(false);
    }
    List<Claim> cases = namingAny ? List.of(claim) : Cases.of(reads, claim);
    if (cases.size() > 1) {
      Verdict proved = provedAtOnce(cases.size());
      if (proved != null) {
        return proved;
      }
      Decision decision = CaseByCase.decide(reads.model(), cases, c -> alone(reads, c), searches);
      if (!(decision.verdict() instanceof Verdict.Undecided) || searches.over()) {
        certificate = decision.certificate();
        grounds = decision.grounds();
        return decision.verdict();
      }
    }
    Decision parted = namingAny ? null : LastToHold.decided(reads, claim, this::alone, searches);
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
      var system = new KeptSystem(reads, claim, kept);
      return searches.runUpTo(system, kept, Search.Zoning.MERGED, Searches.TRYING_STATES)
              instanceof Search.Outcome.Exhausted
          ? proved(system)
          : null;
    } catch (Diagram.TooIntricate _) {
      return null;
    }
  }

  private Decision alone(Reads plant, Claim one) {
    var decider = new Decider(plant, one, searches);
    decider.whole = claim;
    decider.certifying = certifying;
    // What stands on more than the plant is carried nowhere.
    decider.recording = recording && plant == reads;
    // What the cases before have cost does not make this one hard.
    decider.easy = easy < 0 ? easy : easy + searches.visited();
    return new Decision(decider.inOne(), decider.certificate, decider.grounds);
  }

  private Verdict inOne() {
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
      Verdict pursued = searches.visited() > easyNodes() ? pursued(kept) : null;
      if (pursued != null) {
        return pursued;
      }
      var system = new KeptSystem(reads, claim, kept);
      switch (path(system)) {
        case Search.Outcome.Exhausted e -> {
          return proved(system);
        }
        case Search.Outcome.Stopped s -> {
          if (!searches.stopsAt(easyNodes()) || searches.over()) {
            return undecided(s.reason(), s.level(), kept);
          }
          Verdict found = pursued(kept);
          if (found != null) {
            return found;
          }
        }
        case Search.Outcome.Found f -> {
          if (claim.kind().wanted() && (isLarge() || isLeftToItself())) {
            Verdict errand = errand(kept);
            if (errand != null) {
              return errand;
            }
          }
          // Starting again is cheap while few variables are kept, and finds the smaller proof.
          boolean patient = claim.kind().wanted() || searches.costOfLast() > CHEAP_ZONES;
          var along =
              new Following(reads, claim, searches, system, f.path(), patient, offered(kept))
                  .follow(easyNodes());
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
              Verdict last = claim.kind().wanted() ? errand(kept) : null;
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

  private boolean isLarge() {
    return reads.model().variables().size() > SEARCHED_FIRST;
  }

  /** Whether nothing comes from outside but at its time, as in a scenario: then there is little to choose. */
  private boolean isLeftToItself() {
    for (FieldChange c : reads.model().changes()) {
      boolean outside =
          switch (c.cause()) {
            case OPERATOR, PROCESS, POWER, FAULT -> true;
            case EQUIPMENT, INSTRUMENT, TIMER -> false;
          };
      if (outside && c.timing() == null) {
        return false;
      }
    }
    return true;
  }

  /** How much may be visited before a run is looked for on the whole model, if ever again. */
  private long easyNodes() {
    return pursuits == 0
        ? easy
        : pursuits == 1 ? easy + Searches.HARD_NODES : Long.MAX_VALUE;
  }

  /** @param kept what the search kept that tells how few steps a run may have */
  private @Nullable Verdict pursued(Kept kept) {
    int most =
        pursuits++ == 0 ? Searches.SHORT_PURSUIT_NODES : Searches.LONG_PURSUIT_NODES;
    Following.Result.Real run = Pursuit.run(reads, claim, searches, kept, most);
    return run == null ? null : reached(run, Searches.CONFIRMING_PURSUED_STATES);
  }

  /** A run that is wanted, without a search for it; null if none is found like this. */
  private @Nullable Verdict errand(Kept kept) {
    Errand.Run run = errandTried ? null : Errand.of(reads, claim, searches);
    errandTried = true;
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
        searches.runUpTo(system, system.kept(), Search.Zoning.MERGED, easyNodes());
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
        searches.runUpTo(system, system.kept(), Search.Zoning.FOR_REACHING, easyNodes());
    if (exact instanceof Search.Outcome.Found found) {
      isAtLeast(found.path().steps().length, system.kept());
    }
    return exact;
  }

  private void isAtLeast(int steps, Kept kept) {
    fewest = steps;
    shownWith = kept;
  }

  /**
   * The verdict for a real run. For a finding, first tries to show that it is a shortest one or to
   * find a shorter: one search with what the run leans on kept.
   *
   * @param limit of that search
   */
  private Verdict reached(Following.Result.Real real, long limit) {
    Following.Result.Real best = real;
    int least = fewest;
    if (!claim.kind().wanted() && real.events() > fewest) {
      var system = new KeptSystem(reads, claim, real.kept());
      if (searches.runWithin(system, real.kept(), limit)
          instanceof Search.Outcome.Found f) {
        if (f.path().steps().length > least) {
          least = f.path().steps().length;
          shownWith = real.kept();
        }
        if (f.path().steps().length < real.events()
            && new Following(reads, claim, searches, system, f.path(), true, List.of()).complete()
                instanceof Following.Result.Real shorter) {
          best = shorter;
        }
      }
    }
    recordRun();
    return new Verdict.Reached(
        best.trace(), best.events(), least, names(best.kept()), searches.effort());
  }

  private void recordRun() {
    if (recording && shownWith != null) {
      grounds = Grounds.of(reads, claim, shownWith);
    }
  }

  private Verdict whole() {
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
    return names(reads, claim, kept);
  }

  private static List<String> names(Reads reads, Claim claim, Kept kept) {
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
