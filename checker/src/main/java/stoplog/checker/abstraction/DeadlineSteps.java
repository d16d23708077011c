package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Clock;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Whether a clock that stands at its limit can be stopped there by changes one after the other: the reading of a
 * transmitter comes back, and then it has settled. Counted on are changes that wait for the clock, and such of
 * equipment and instruments as wait for nothing, or for a clock that has run for as long as this one and for long
 * enough.
 *
 * <p>Looked at are the values of what the conditions of the clock and of those changes read, and of what reactions
 * to them read; everything else may have any value at any moment. Values are <em>good</em> if some change is
 * allowed there that stops the clock, or leads to values that were found good before, whatever the rest is; and if
 * so do scans, any number of which may come after it. So from good values finitely many changes stop the clock, and
 * the scans between them are finitely many where the logic comes to rest.
 */
final class DeadlineSteps {
  /** Values that one change may lead to; beyond them it is not counted on. */
  private static final int MOST_AFTER_A_STEP = 1 << 12;

  private final Reads reads;
  private final Model model;
  private final BitSet constants;
  private final Clock clock;
  private final List<FieldChange> changes = new ArrayList<>();
  private final Set<FieldChange> used = new HashSet<>();
  private final int[] chosen;
  private final Set<List<Integer>> possible;

  /** @param together what variables can be together; null if there is no telling */
  DeadlineSteps(
      Reads reads,
      BitSet constants,
      Clock clock,
      Function<BitSet, Reachable.@Nullable Together> together) {
    this.reads = reads;
    this.model = reads.model();
    this.constants = constants;
    this.clock = clock;
    BitSet read = reads.ofClock(clock.id());
    for (FieldChange c : model.changes()) {
      if (c.cause() != FieldChange.Cause.FAULT && waitsForIt(c)) {
        add(c, read);
      }
    }
    BitSet near = (BitSet) read.clone();
    for (FieldChange c : model.changes()) {
      boolean moves = c.effects().stream().anyMatch(e -> near.get(e.variable()));
      if (moves && !changes.contains(c) && isOfTheField(c) && isOpenBy(c.timing())) {
        add(c, read);
      }
    }
    // What waits for nothing comes last: it is to come only where it is needed.
    changes.sort(Comparator.comparing(c -> c.timing() == null));
    BitSet assigned = (BitSet) read.clone();
    for (Assignment r : model.reactions()) {
      if (assigned.get(r.variable())) {
        read.or(reads.of(r.value()));
      }
    }
    read.andNot(constants);
    this.chosen = read.stream().toArray();
    Reachable.Together known = together.apply(read);
    boolean all = known != null && known.variables().equals(read.stream().boxed().toList());
    this.possible = known == null || !all ? Set.of() : known.values();
  }

  private void add(FieldChange c, BitSet read) {
    changes.add(c);
    read.or(reads.of(c.guard()));
    if (c.timing() != null) {
      read.or(reads.ofClock(c.timing().clock()));
    }
  }

  private boolean waitsForIt(FieldChange c) {
    Bound limit = clock.limit();
    return limit != null && TimeGoesOn.isOpenAt(c.timing(), clock, limit);
  }

  private static boolean isOfTheField(FieldChange c) {
    return c.cause() == FieldChange.Cause.EQUIPMENT || c.cause() == FieldChange.Cause.INSTRUMENT;
  }

  private boolean isOpenBy(FieldChange.@Nullable Timing timing) {
    if (timing == null) {
      return true;
    }
    Bound limit = clock.limit();
    Bound first = timing.earliest();
    return limit != null
        && timing.clock() != clock.id()
        && timing.latest() == null
        && (first.quanta() < limit.quanta()
            || (first.quanta() == limit.quanta() && first.closed()));
  }

  /**
   * The changes without a clock that may be needed; null if it is not sure that the clock can be stopped,
   * whatever the plant is like when the limit comes.
   */
  @Nullable Set<FieldChange> needed() {
    return surelyStop() ? used : null;
  }

  private boolean surelyStop() {
    Bound limit = clock.limit();
    if (limit == null || limit.quanta() == 0 || !limit.closed() || possible.isEmpty()) {
      return false;
    }
    var open = new ArrayList<List<Integer>>();
    for (List<Integer> values : possible) {
      if (mayRun(clock, sets(values))) {
        open.add(values);
      }
    }
    Set<Integer> late =
        changes.stream()
            .map(FieldChange::timing)
            .filter(Objects::nonNull)
            .map(FieldChange.Timing::clock)
            .filter(c -> c != clock.id())
            .filter(c -> mayStart(model.clocks().get(c), open))
            .collect(Collectors.toSet());
    changes.removeIf(c -> c.timing() != null && late.contains(c.timing().clock()));
    var good = new HashSet<List<Integer>>();
    while (!open.isEmpty()) {
      List<List<Integer>> found = open.stream().filter(v -> isGood(sets(v), good)).toList();
      if (found.isEmpty()) {
        return false;
      }
      good.addAll(found);
      open.removeIf(good::contains);
    }
    return true;
  }

  /** What is chosen has these values, and all else may have any. */
  private ValueSets sets(List<Integer> values) {
    var sets = new ValueSets(model);
    for (int v = 0; v < sets.size(); v++) {
      sets.set(v, constants.get(v) ? model.variable(v).initial() : model.variable(v).domain());
    }
    for (int i = 0; i < chosen.length; i++) {
      sets.set(chosen[i], 1L << values.get(i));
    }
    return sets;
  }

  private static boolean mayRun(Clock clock, ValueSets there) {
    return (there.of(clock.running()) & 2) != 0;
  }

  /**
   * Whether another clock may start while this one runs. If not, it has run for as long as this one wherever both
   * run.
   *
   * @param open where this one may run
   */
  private boolean mayStart(Clock other, List<List<Integer>> open) {
    BitSet read = reads.ofClock(other.id());
    for (FieldChange c : model.changes()) {
      List<Assignment> reactions = TimeGoesOn.reactionsTo(reads, c);
      if (c.effects().stream().noneMatch(a -> read.get(a.variable()))
          && reactions.stream().noneMatch(a -> read.get(a.variable()))) {
        continue;
      }
      for (List<Integer> values : open) {
        ValueSets there = sets(values);
        if (!there.isSure(other.running())
            && (there.of(c.guard()) & 2) != 0
            && mayRunAmong(other, running(after(there, c, reactions)))) {
          return true;
        }
      }
    }
    for (List<Integer> values : open) {
      ValueSets there = sets(values);
      if (!there.isSure(other.running()) && mayRunAmong(other, running(scanned(there)))) {
        return true;
      }
    }
    return false;
  }

  private boolean mayRunAmong(Clock other, @Nullable List<List<Integer>> values) {
    return values == null || values.stream().anyMatch(v -> mayRun(other, sets(v)));
  }

  private boolean isGood(ValueSets values, Set<List<Integer>> good) {
    for (FieldChange c : changes) {
      FieldChange.Timing t = c.timing();
      boolean runs = t == null || values.isSure(model.clocks().get(t.clock()).running());
      if (runs
          && values.isSure(c.guard())
          && leadsTo(good, after(values, c, TimeGoesOn.reactionsTo(reads, c)))) {
        if (t == null) {
          used.add(c);
        }
        return true;
      }
    }
    return false;
  }

  private ValueSets after(ValueSets values, FieldChange change, List<Assignment> reactions) {
    var after = new ValueSets(values);
    change.effects().forEach(a -> assign(after, a));
    reactions.forEach(a -> assign(after, a));
    return after;
  }

  private void assign(ValueSets values, Assignment a) {
    values.set(a.variable(), values.of(a.value()) & model.variable(a.variable()).domain());
  }

  /** Whether there the clock does not run or all is good, before and after any number of scans. */
  private boolean leadsTo(Set<List<Integer>> good, ValueSets after) {
    var seen = new HashSet<List<Integer>>();
    List<List<Integer>> first = running(after);
    if (first == null) {
      return false;
    }
    var open = new ArrayList<>(first);
    while (!open.isEmpty()) {
      List<Integer> one = open.removeLast();
      if (!seen.add(one)) {
        continue;
      }
      List<List<Integer>> scanned = good.contains(one) ? running(scanned(sets(one))) : null;
      if (scanned == null) {
        return false;
      }
      open.addAll(scanned);
    }
    return true;
  }

  /** The values of what is chosen at which the clock may run; null if there are too many. */
  private @Nullable List<List<Integer>> running(ValueSets among) {
    List<List<Integer>> all = among.combinations(chosen, MOST_AFTER_A_STEP);
    if (all == null) {
      return null;
    }
    return all.stream()
        .filter(possible::contains)
        .filter(values -> mayRun(clock, sets(values)))
        .toList();
  }

  private ValueSets scanned(ValueSets values) {
    var after = new ValueSets(values);
    for (int v : chosen) {
      if (reads.programmed().get(v)) {
        after.set(v, model.variable(v).domain());
      }
    }
    for (Assignment a : model.reactions()) {
      if (isChosen(a.variable())) {
        assign(after, a);
      }
    }
    return after;
  }

  private boolean isChosen(int v) {
    return Arrays.binarySearch(chosen, v) >= 0;
  }
}
