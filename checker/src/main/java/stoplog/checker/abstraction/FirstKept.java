package stoplog.checker.abstraction;

import java.util.BitSet;
import java.util.Collection;
import java.util.LinkedHashSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Claim;
import stoplog.model.Variable;

/** What the first search of a question keeps, and the groups that later ones may keep. */
final class FirstKept {
  private final Reads reads;
  private final Claim claim;

  /** The claim of which this is a case, or the claim itself. */
  private final Claim whole;

  private final boolean namingAny;
  private final Groups groups;
  private @Nullable Collection<Group> offered;

  /**
   * @param whole the claim of which this is a case, or the claim itself
   * @param namingAny whether to begin with all groups that the claim asks about, alike or not
   */
  FirstKept(Reads reads, Claim claim, Claim whole, boolean namingAny) {
    this.reads = reads;
    this.claim = claim;
    this.whole = whole;
    this.namingAny = namingAny;
    this.groups = new Groups(reads.model());
  }

  /**
   * What the claim names, and the chains of influence from there.
   *
   * @param grouping whether groups may be kept
   */
  Kept named(boolean grouping) {
    Collection<Group> told = grouping ? namedGroups() : List.of();
    BitSet named = groups.readsBeside(claim.condition(), told);
    claim.monitors().forEach(m -> named.set(m.variable()));
    // What a case remembers beside is about all of the others.
    whole.monitors().forEach(m -> named.or(groups.readsBeside(m.value(), told)));
    return new Kept(reads.influence().chains(named, reads.power()), false).with(told);
  }

  /** Groups that the claim asks about, of so many variables that they are not kept one by one. */
  private Collection<Group> namedGroups() {
    var found = new LinkedHashSet<Group>();
    found.addAll(groups.in(claim.condition()));
    whole.monitors().forEach(m -> found.addAll(groups.in(m.value())));
    found.removeIf(g -> !namingAny && !areAlike(g));
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
  Collection<Group> offered(Kept kept) {
    if (kept.groups().isEmpty()) {
      return List.of();
    }
    if (offered == null) {
      offered = groups.all(claim);
    }
    return offered;
  }
}
