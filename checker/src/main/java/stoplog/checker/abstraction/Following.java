package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.CutShort;
import stoplog.checker.explore.Search;
import stoplog.model.Claim;
import stoplog.model.Trace;

/**
 * Asks whether a path of a localised search is a run of the plant.
 *
 * <p>The hidden variables that the path leaned on are kept too, and the path is searched for again,
 * now with more steps in between; and so on until it leans on nothing hidden. Then the rest of the
 * plant is filled in. Where no finer path exists, the variables that rule it out are what the
 * localised search was missing: found by leaving out each one that is not needed to rule it out.
 */
final class Following {
  private static final int MOST_OFFERED = 4;

  /**
   * Candidates beyond which a way that is wanted is first looked for with the rest of the plant held
   * still. Not with fewer, since it makes for longer stories.
   */
  private static final int MANY = 24;

  /** What came of it. */
  sealed interface Result {
    /**
     * A run of the whole model.
     *
     * @param events steps of the run that touch what it leans on
     */
    record Real(Trace trace, int events, Kept kept) implements Result {}

    /** The path is no run, and with this kept it is not found again. */
    record Refine(Kept kept) implements Result {}

    record Stuck(String reason) implements Result {}

    /** It takes longer than was asked for. */
    record Hard() implements Result {}
  }

  private static final Result OVER =
      new Result.Stuck("the time budget is used up, or the run was interrupted");

  private final Reads reads;
  private final Claim claim;
  private final Searches searches;
  private final KeptSystem base;
  private final Search.Path basePath;

  private final boolean patient;
  private final Collection<Group> groups;
  private final List<Ancestor> ancestors = new ArrayList<>();
  private KeptSystem finer;
  private Search.Path finerPath;

  /** A path that the finest one follows. */
  private record Ancestor(KeptSystem system, Search.Path path) {}

  /**
   * @param patient whether to look for another run along the path where one turns out not to exist,
   *     rather than to start the coarse search again with more kept
   * @param groups what may be kept in place of the variables that it is about
   */
  Following(
      Reads reads,
      Claim claim,
      Searches searches,
      KeptSystem system,
      Search.Path path,
      boolean patient,
      Collection<Group> groups) {
    this.groups = groups;
    this.reads = reads;
    this.claim = claim;
    this.searches = searches;
    this.base = system;
    this.basePath = path;
    this.finer = system;
    this.finerPath = path;
    this.patient = patient;
  }

  /**
   * @param share what all searches of the question may have taken before it gives up
   * @param called whether to give up before that, too
   */
  Result follow(Searches.Share share, BooleanSupplier called) {
    try {
      return refined(share, called);
    } catch (CutShort e) {
      return searches.over() ? OVER : new Result.Stuck(e.reason());
    }
  }

  private Result refined(Searches.Share share, BooleanSupplier called) {
    while (true) {
      if (searches.over()) {
        return OVER;
      }
      if (searches.hasTaken(share) || called.getAsBoolean()) {
        return new Result.Hard();
      }
      BitSet leaned = Leaning.of(finer, finerPath);
      List<Candidate> candidates = candidates(leaned);
      if (claim.kind().wanted()
          && candidates.size() > MANY
          && quietly(leaned) instanceof Result.Real real) {
        return real;
      }
      if (candidates.isEmpty()) {
        return complete();
      }
      Result result = oneMore(candidates);
      if (result != null) {
        return result;
      }
    }
  }

  /** What to keep next: a group, a hidden variable, or (-1) scans being due. */
  private record Candidate(int variable, @Nullable Group group) {
    Candidate(int variable) {
      this(variable, null);
    }

    Kept added(Kept kept, Reads reads) {
      if (group != null) {
        return kept.with(List.of(group));
      }
      BitSet more = new BitSet();
      if (variable >= 0) {
        more.set(variable);
      }
      return kept.with(more, variable < 0, reads);
    }
  }

  private List<Candidate> candidates(BitSet leaned) {
    var candidates = new ArrayList<Candidate>();
    offered(leaned).forEach(g -> candidates.add(new Candidate(-1, g)));
    boolean due = finer.scansMatter() && !finer.kept().due();
    boolean grouped =
        !candidates.isEmpty()
            || !finer.kept().groups().isEmpty()
            || LastToHold.isCase(reads, claim);
    if (due && grouped) {
      candidates.add(new Candidate(-1));
    }
    leaned.stream().forEach(v -> candidates.add(new Candidate(v)));
    if (due && !grouped) {
      candidates.add(new Candidate(-1));
    }
    return candidates;
  }

  /** Groups that may tell enough about what was leaned on: those most leaned on, the smallest first. */
  private List<Group> offered(BitSet leaned) {
    record Offer(Group group, int leanedOn) {}

    var offers = new ArrayList<Offer>();
    for (Group g : groups) {
      BitSet hidden = g.variables();
      hidden.andNot(finer.kept().variables());
      int size = hidden.cardinality();
      hidden.and(leaned);
      if (size >= Groups.MANY_MEMBERS
          && !hidden.isEmpty()
          && !finer.kept().groups().contains(g)) {
        offers.add(new Offer(g, hidden.cardinality()));
      }
    }
    offers.sort(
        Comparator.comparingInt((Offer o) -> -o.leanedOn())
            .thenComparingInt(o -> o.group().members().size()));
    return offers.stream().limit(MOST_OFFERED).map(Offer::group).toList();
  }

  /**
   * Keeps more, and goes on along a finer path or says what to keep. A single variable that rules the
   * path out is best; else all candidates at once if that is cheap; else the one that makes the way
   * along the path longest, since it knows most about what must happen on the way.
   */
  private @Nullable Result oneMore(List<Candidate> candidates) {
    KeptSystem longest = null;
    Search.Path longestPath = null;
    BitSet members = members(candidates);
    for (Candidate c : candidates) {
      if (searches.over()) {
        return OVER;
      }
      if (c.variable() >= 0 && members.get(c.variable())) {
        continue;
      }
      var system = new KeptSystem(reads, claim, c.added(finer.kept(), reads));
      switch (along(system, finer, finerPath, Searches.TRYING_STATES)) {
        case Search.Outcome.Exhausted e -> {
          return ruledOut(system);
        }
        case Search.Outcome.Found f -> {
          if (longestPath == null || f.path().steps().length > longestPath.steps().length) {
            longest = system;
            longestPath = f.path();
          }
        }
        case Search.Outcome.Stopped s -> {}
      }
    }
    Kept all = together(candidates);
    var system = new KeptSystem(reads, claim, all);
    switch (along(system, finer, finerPath, Searches.FOLLOWING_STATES)) {
      case Search.Outcome.Exhausted e -> {
        return ruledOut(system);
      }
      case Search.Outcome.Found f -> advance(system, f.path());
      case Search.Outcome.Stopped s -> {
        if (longest == null || longestPath == null) {
          return new Result.Refine(all);
        }
        advance(longest, longestPath);
      }
    }
    return null;
  }

  /** Of groups that are candidates: they come before their members. */
  private static BitSet members(List<Candidate> candidates) {
    BitSet members = new BitSet();
    for (Candidate c : candidates) {
      if (c.group() != null) {
        members.or(c.group().variables());
      }
    }
    return members;
  }

  /** What is kept and all candidates, but no members of groups that are among them. */
  private Kept together(List<Candidate> candidates) {
    BitSet members = members(candidates);
    Kept all = finer.kept();
    for (Candidate c : candidates) {
      if (c.variable() < 0 || !members.get(c.variable())) {
        all = c.added(all, reads);
      }
    }
    return all;
  }

  /**
   * The finest path is ruled out by what this system keeps. A patient search looks for another one
   * along the paths it came from, the finest first; otherwise the coarse search is to start again.
   */
  private @Nullable Result ruledOut(KeptSystem system) {
    for (int i = ancestors.size() - 1; patient && i >= 0; i--) {
      Ancestor a = ancestors.get(i);
      Search.Outcome outcome = along(system, a.system(), a.path(), Searches.FOLLOWING_STATES);
      if (outcome instanceof Search.Outcome.Found f) {
        ancestors.subList(i, ancestors.size()).clear();
        finer = a.system();
        finerPath = a.path();
        advance(system, f.path());
        return null;
      }
      if (outcome instanceof Search.Outcome.Stopped) {
        break;
      }
    }
    return new Result.Refine(shrunk(system.kept()));
  }

  private void advance(KeptSystem system, Search.Path path) {
    ancestors.add(new Ancestor(finer, finerPath));
    finer = system;
    finerPath = cut(path, system.words());
  }

  /** The path of a guided search without the words that guided it. */
  static Search.Path cut(Search.Path path, int words) {
    return new Search.Path(
        path.states().stream().map(s -> Arrays.copyOf(s, words)).toList(), path.steps());
  }

  private Search.Outcome along(KeptSystem system, KeptSystem guide, Search.Path path, long limit) {
    return searches.runWithin(new GuidedSystem(system, guide, path), system.kept(), limit);
  }

  /**
   * A run of the whole plant along the finest path in which nothing of its own accord happens to what
   * the path does not lean on; null if there is none. A way that is wanted is most often an easy one.
   */
  private @Nullable Result quietly(BitSet leaned) {
    BitSet stirred = finer.kept().followed();
    stirred.or(leaned);
    var quiet = new KeptSystem(reads, claim, Kept.everything(reads), stirred);
    return along(quiet, finer, finerPath, Searches.FOLLOWING_STATES)
            instanceof Search.Outcome.Found f
        ? real(quiet, f.path(), f.path().steps().length)
        : null;
  }

  /** Fills in the rest of the plant along the finest path, which leans on nothing hidden. */
  Result complete() {
    BitSet touched = finer.kept().variables();
    Kept all = Kept.everything(reads);
    var quiet = new KeptSystem(reads, claim, all, touched);
    if (along(quiet, finer, finerPath, Searches.FOLLOWING_STATES)
        instanceof Search.Outcome.Found f) {
      return real(quiet, f.path(), finerPath.steps().length);
    }
    var system = new KeptSystem(reads, claim, all);
    if (along(system, finer, finerPath, Searches.FOLLOWING_STATES)
        instanceof Search.Outcome.Found f) {
      return real(system, f.path(), finerPath.steps().length);
    }
    // Something the path does not lean on stands in its way all the same: a scan that a hidden change
    // forces early, or a deadline that blocks. Another run along the coarse path may exist.
    return switch (along(system, base, basePath, Searches.FOLLOWING_STATES)) {
      case Search.Outcome.Found f -> real(system, f.path(), f.path().steps().length);
      case Search.Outcome.Exhausted e -> new Result.Refine(shrunk(all));
      case Search.Outcome.Stopped s -> new Result.Refine(all);
    };
  }

  private Result real(KeptSystem system, Search.Path path, int events) {
    return switch (Completion.check(reads, claim, system, path)) {
      case Completion.Valid v -> new Result.Real(v.trace(), events, finer.kept());
      case Completion.Refused r -> new Result.Stuck(r.reason());
    };
  }

  /**
   * Of what was added to the base, only what it takes to rule out the finest path, struck down to the
   * variables that remain. Something remains, since the base alone does not rule it out.
   */
  private Kept shrunk(Kept ruling) {
    BitSet needed = (BitSet) ruling.variables().clone();
    needed.andNot(base.kept().variables());
    var told = new ArrayList<Group>(ruling.groups());
    boolean due = ruling.due() && !base.kept().due();
    if (due && rulesOut(base.kept().with(needed, false, reads).with(told))) {
      due = false;
    }
    for (int v = needed.length() - 1; v >= 0 && !searches.over(); v = needed.previousSetBit(v - 1)) {
      if (!needed.get(v)) {
        continue;
      }
      needed.clear(v);
      Kept without = base.kept().with(needed, due, reads).with(told);
      if (without.has(v) || !rulesOut(without)) {
        needed.set(v);
      }
    }
    for (Group g : ruling.groups()) {
      if (!base.kept().groups().contains(g) && !searches.over()) {
        told.remove(g);
        if (!rulesOut(base.kept().with(needed, due, reads).with(told))) {
          told.add(g);
        }
      }
    }
    return base.kept().with(needed, due, reads).with(told);
  }

  private boolean rulesOut(Kept kept) {
    return along(new KeptSystem(reads, claim, kept), finer, finerPath, Searches.SHRINKING_STATES)
        instanceof Search.Outcome.Exhausted;
  }
}
