package stoplog.model;

import java.util.BitSet;
import java.util.List;

/**
 * The fault variables that are constants for a claim: only faults ever assign them, and the claim
 * allows none of those. A claim that tolerates nothing thus costs no more in a plant with faults than
 * in one without.
 */
public final class Untouched {
  private Untouched() {}

  /**
   * Variables that some fault assigns, that start with one value only, and that keep it in every run
   * that the claim is about. O(model).
   */
  public static BitSet by(Model model, Claim claim) {
    BitSet constant = new BitSet();
    for (FieldChange c : model.changes()) {
      if (c.cause() == FieldChange.Cause.FAULT && !claim.admits(c)) {
        c.effects().forEach(a -> constant.set(a.variable()));
      }
    }
    for (FieldChange c : model.changes()) {
      if (claim.admits(c)) {
        clear(constant, c.effects());
      }
    }
    clear(constant, model.start());
    clear(constant, model.reactions());
    clear(constant, model.controller().program());
    clear(constant, claim.monitors());
    for (Variable v : model.variables()) {
      if (Long.bitCount(v.initial()) != 1) {
        constant.clear(v.id());
      }
    }
    return constant;
  }

  private static void clear(BitSet constant, List<Assignment> assignments) {
    assignments.forEach(a -> constant.clear(a.variable()));
  }
}
