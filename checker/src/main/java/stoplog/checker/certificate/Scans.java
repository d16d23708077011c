package stoplog.checker.certificate;

import java.util.BitSet;
import java.util.List;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Controller;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/** When scans may and must come, as far as the states of a certificate tell. */
final class Scans {
  private final Known known;
  private final Controller controller;
  private final Watches watches;

  /** Whether the states tell how many changes wait for a scan. */
  private final boolean told;

  private final int mostDue;

  /** Variables that the logic reads before it assigns them. */
  private final BitSet visible = new BitSet();

  /** Those, and what the logic assigns and something else reads. */
  private final BitSet watched = new BitSet();

  /** @param whole the claim of the plant of which {@code claim} is a case, or is all */
  Scans(Known known, Claim claim, Claim whole, boolean told, Watches watches) {
    this.known = known;
    this.controller = known.model.controller();
    this.watches = watches;
    this.told = told;
    this.mostDue = controller.reactionQuanta() == 0 ? controller.coincident() : 1;
    whatIsWatched(known.model, claim, whole);
  }

  private void whatIsWatched(Model model, Claim claim, Claim whole) {
    BitSet assigned = new BitSet();
    for (Assignment a : controller.program()) {
      BitSet read = known.reads(a.value());
      read.andNot(assigned);
      visible.or(read);
      assigned.set(a.variable());
    }
    model.start().forEach(a -> watched.or(known.reads(a.value())));
    model.reactions().forEach(a -> watched.or(known.reads(a.value())));
    for (FieldChange c : model.changes()) {
      watched.or(known.reads(c.guard()));
      c.effects().forEach(a -> watched.or(known.reads(a.value())));
    }
    model.clocks().forEach(c -> watched.or(known.reads(c.running())));
    watched.or(known.reads(controller.powered()));
    // What the controller watches does not depend on the case.
    watched.or(known.reads(whole.condition()));
    claim.monitors().forEach(a -> watched.or(known.reads(a.value())));
    watched.and(assigned);
    watched.or(visible);
  }

  private boolean count() {
    return told && !controller.program().isEmpty();
  }

  int dueAtStart(List<Integer> after) {
    return count() && watches.powered(after) ? 1 : 0;
  }

  /** Unknown changes ask for scans too: only if all that is watched is kept does due tell everything. */
  boolean mayCome(int due) {
    BitSet unseen = (BitSet) watched.clone();
    unseen.andNot(known.constants);
    known.kept.forEach(unseen::clear);
    return due > 0 || !told || !unseen.isEmpty();
  }

  /** Whether a scan comes before the change that would lead from the one to the other. */
  boolean comeFirst(List<Integer> before, int due, List<Integer> after) {
    return told
        && controller.reactionQuanta() == 0
        && due == controller.coincident()
        && differs(before, after, watched)
        && watches.powered(after);
  }

  int dueAfterChange(List<Integer> before, int due, List<Integer> after) {
    if (!count() || !watches.powered(after)) {
      return 0;
    }
    if (!watches.powered(before)) {
      return 1;
    }
    return differs(before, after, watched) ? Math.min(due + 1, mostDue) : due;
  }

  int dueAfterScan(List<Integer> before, List<Integer> after) {
    return count() && differs(before, after, visible) && watches.powered(after) ? 1 : 0;
  }

  private boolean differs(List<Integer> before, List<Integer> after, BitSet among) {
    for (int i = 0; i < known.kept.size(); i++) {
      if (among.get(known.kept.get(i)) && !before.get(i).equals(after.get(i))) {
        return true;
      }
    }
    // A group does not turn over unless one of its members does.
    for (int g = 0; g < known.groups.size(); g++) {
      int at = known.kept.size() + g;
      if (!before.get(at).equals(after.get(at))
          && known.groups.get(g).members().stream().allMatch(m -> among.get(m.variable()))) {
        return true;
      }
    }
    return false;
  }
}
