package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import org.jspecify.annotations.Nullable;
import stoplog.checker.pack.Packing;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Controller;
import stoplog.model.Model;

/**
 * What a state of a {@link KeptSystem} holds, and where it stands in the words: of the kept variables
 * those whose value between steps anything reads, the kept groups (numbered after all variables of the
 * model), how many scans are due, and the faults so far. Never changed once made, and so shared between
 * threads.
 */
final class KeptState {
  private final Model model;
  private final Reads reads;
  private final @Nullable Claim claim;
  private final Kept kept;
  private final int[] stored;
  private final Packing packing;
  private final int dueField;
  private final int faultField;
  private final int maxDue;
  private final int faultBudget;
  private final BitSet watchedByChange;
  private final BitSet watchedByScan;

  KeptState(Reads reads, @Nullable Claim claim, Kept kept, KeptSteps steps) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.kept = kept;
    Controller controller = model.controller();
    this.maxDue = controller.reactionQuanta() == 0 ? controller.coincident() : 1;
    this.faultBudget = claim == null ? 0 : claim.faultBudget();
    BitSet live = liveBetweenSteps(steps.relevant());
    live.and(kept.variables());
    // What a group is before a step is worked out from its members, of which none may be out of date.
    BitSet told = (BitSet) live.clone();
    kept.groups().forEach(g -> told.or(g.variables()));
    told.and(kept.variables());
    told.set(model.variables().size(), model.variables().size() + kept.groups().size());
    this.stored = told.stream().toArray();
    int[] sizes = new int[stored.length + 2];
    for (int i = 0; i < stored.length; i++) {
      sizes[i] = isGroup(stored[i]) ? 2 : model.variable(stored[i]).size();
    }
    this.dueField = stored.length;
    this.faultField = stored.length + 1;
    sizes[dueField] = kept.due() ? maxDue + 1 : 1;
    sizes[faultField] = faultBudget + 1;
    this.packing = new Packing(sizes);
    this.watchedByScan = (BitSet) reads.visible().clone();
    watchedByScan.and(live);
    this.watchedByChange = (BitSet) reads.visible().clone();
    watchedByChange.or(reads.programmed());
    watchedByChange.and(live);
  }

  /** Variables whose value between steps anything reads: all but those a scan always assigns first. */
  private BitSet liveBetweenSteps(BitSet relevant) {
    BitSet live = (BitSet) reads.betweenSteps().clone();
    relevant.stream().forEach(id -> reads.ofChange(id, live));
    if (claim != null) {
      live.or(reads.of(claim.condition()));
      live.or(reads.of(claim.onlyWhile()));
      claim.monitors().forEach(a -> add(live, a));
    } else {
      live.or(kept.variables());
    }
    return live;
  }

  private void add(BitSet live, Assignment a) {
    live.or(reads.of(a.value()));
  }

  private boolean isGroup(int stored) {
    return stored >= model.variables().size();
  }

  /** The stored variables and groups, ascending. Not to be changed. */
  int[] stored() {
    return stored;
  }

  /** Fields in the order of {@link #stored}, then scans due, then faults. */
  Packing packing() {
    return packing;
  }

  /** The most scans that are told apart as due. */
  int maxDue() {
    return maxDue;
  }

  int faultBudget() {
    return faultBudget;
  }

  /** Stored variables whose change in a field change calls for a scan. Not to be changed. */
  BitSet watchedByChange() {
    return watchedByChange;
  }

  /** Stored variables whose change in a scan calls for another. Not to be changed. */
  BitSet watchedByScan() {
    return watchedByScan;
  }

  /** The value a stored variable has in a packed state, or -1 if it is not stored. */
  int value(long[] state, int variable) {
    int at = Arrays.binarySearch(stored, variable);
    return at < 0 ? -1 : packing.get(state, at);
  }

  boolean stores(int variable) {
    return Arrays.binarySearch(stored, variable) >= 0;
  }

  int due(long[] state) {
    return packing.get(state, dueField);
  }

  int faults(long[] state) {
    return packing.get(state, faultField);
  }

  /** Puts the values, indexed by model variable, into the words of {@code packed}. */
  void pack(int[] values, int due, int faults, long[] packed) {
    Arrays.fill(packed, 0);
    for (int i = 0; i < stored.length; i++) {
      packing.put(packed, i, values[stored[i]]);
    }
    packing.put(packed, dueField, due);
    packing.put(packed, faultField, faults);
  }

  /** Puts the stored values into {@code values}, indexed by model variable. */
  void unpack(long[] state, int[] values) {
    for (int i = 0; i < stored.length; i++) {
      values[stored[i]] = packing.get(state, i);
    }
  }

  /** Whether one of the watched variables has another value than in the state. */
  boolean differs(long[] state, int[] values, BitSet watched) {
    for (int i = 0; i < stored.length; i++) {
      if (watched.get(stored[i]) && packing.get(state, i) != values[stored[i]]) {
        return true;
      }
    }
    return false;
  }

  /** Whether the state is exactly this. */
  boolean is(long[] state, int[] values, int due, int faults) {
    for (int i = 0; i < stored.length; i++) {
      if (packing.get(state, i) != values[stored[i]]) {
        return false;
      }
    }
    return due(state) == due && faults(state) == faults;
  }
}
