package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collection;
import java.util.List;

/**
 * What a search keeps exact; all else is hidden, and reading it is a free choice.
 *
 * @param variables indices of model variables
 * @param due whether it keeps track of scans being due. Otherwise a scan may come at any time and
 *     never must.
 * @param groups whether these are so
 */
record Kept(BitSet variables, boolean due, List<Group> groups) {
  Kept {
    variables = (BitSet) variables.clone();
    groups = List.copyOf(groups);
  }

  Kept(BitSet variables, boolean due) {
    this(variables, due, List.of());
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
    return new Kept(all, withDue, groups);
  }

  /** This and whether these groups are so. */
  Kept with(Collection<Group> more) {
    var all = new ArrayList<>(groups);
    more.stream().filter(g -> !all.contains(g)).forEach(all::add);
    return new Kept(variables, due, all);
  }

  /** The hidden variables that the groups are about. A fresh set. */
  BitSet members() {
    BitSet members = new BitSet();
    groups.forEach(g -> members.or(g.variables()));
    members.andNot(variables);
    return members;
  }

  /** The kept variables and those that the groups are about. A fresh set. */
  BitSet followed() {
    BitSet followed = members();
    followed.or(variables);
    return followed;
  }

  /** How many variables and groups. */
  int size() {
    return variables.cardinality() + groups.size();
  }

  static Kept everything(Reads reads) {
    BitSet all = new BitSet();
    all.set(0, reads.model().variables().size());
    return new Kept(all, true);
  }
}
