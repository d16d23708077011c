package stoplog.checker.abstraction;

import java.util.BitSet;

/**
 * What a search keeps exact; all else is hidden, and reading it is a free choice.
 *
 * @param variables indices of model variables
 * @param due whether it keeps track of scans being due. Otherwise a scan may come at any time and
 *     never must.
 */
record Kept(BitSet variables, boolean due) {
  Kept {
    variables = (BitSet) variables.clone();
  }

  boolean has(int variable) {
    return variables.get(variable);
  }

  /** This and more; if scans become due, also what tells whether the controller is powered. */
  Kept with(BitSet more, boolean alsoDue, Reads reads) {
    BitSet all = (BitSet) variables.clone();
    all.or(more);
    boolean withDue = due || alsoDue;
    if (withDue) {
      all.or(reads.of(reads.model().controller().powered()));
    }
    return new Kept(all, withDue);
  }

  int size() {
    return variables.cardinality();
  }

  static Kept everything(Reads reads) {
    BitSet all = new BitSet();
    all.set(0, reads.model().variables().size());
    return new Kept(all, true);
  }
}
