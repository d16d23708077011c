package stoplog.checker.abstraction;

import java.util.ArrayDeque;
import java.util.BitSet;
import java.util.Collection;
import java.util.LinkedHashSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Variable;

/** What the first search of a question keeps, and the groups that later ones may keep. */
final class FirstKept {
  private final Reads reads;
  private final Claim claim;

  /** The claim of which this is a case, or the claim itself. */
  private final Claim whole;

  private final boolean namingAny;
  private final Groups groups;

  /** Worked out when first asked: without groups, and with. */
  private final @Nullable Kept[] named = new Kept[2];

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
    int at = grouping ? 1 : 0;
    Kept known = named[at];
    if (known == null) {
      Collection<Group> told = grouping ? namedGroups() : List.of();
      known = new Kept(reads.influence().chains(named(told), reads.power()), false).with(told);
      named[at] = known;
    }
    return known;
  }

  private BitSet named(Collection<Group> told) {
    BitSet named = groups.readsBeside(claim.condition(), told);
    claim.monitors().forEach(m -> named.set(m.variable()));
    // What a case remembers beside is about all of the others.
    whole.monitors().forEach(m -> named.or(groups.readsBeside(m.value(), told)));
    return named;
  }

  /**
   * Another way to begin, for what proves hard: what the claim names with all that this follows from
   * without the controller, and the chains of influence between them with their detours, which is what
   * could see it come and what could stop it. Where the claim asks about a group, be it a small one, it is
   * kept in place of its members: why there is no flow says little.
   *
   * @param grouping whether groups may be kept
   */
  Kept withCauses(boolean grouping) {
    Collection<Group> told = grouping ? allNamedGroups() : List.of();
    BitSet causes = withCauses(named(told));
    BitSet from = (BitSet) causes.clone();
    told.forEach(g -> from.or(g.variables()));
    BitSet kept = reads.influence().chainsAndDetours(from, causes, reads.power());
    from.andNot(causes);
    kept.andNot(from);
    return new Kept(kept, false).with(told);
  }

  private BitSet withCauses(BitSet named) {
    BitSet causes = (BitSet) named.clone();
    var open = new ArrayDeque<Integer>();
    causes.stream().forEach(open::add);
    while (!open.isEmpty()) {
      int v = open.remove();
      if (!reads.programmed().get(v)) {
        BitSet more = readBefore(v);
        more.andNot(causes);
        more.andNot(reads.power());
        more.stream().forEach(open::add);
        causes.or(more);
      }
    }
    return causes;
  }

  /** What a step other than a scan may read that gives the variable another value. */
  private BitSet readBefore(int variable) {
    BitSet read = new BitSet();
    for (int at : reads.reactions().placesOf(variable)) {
      read.or(reads.of(reads.reactions().at(at).value()));
    }
    for (FieldChange c : reads.changesOf(variable)) {
      if (c.cause() != FieldChange.Cause.POWER) {
        reads.ofChange(c.id(), read);
        FieldChange.Timing t = c.timing();
        if (t != null) {
          read.or(reads.ofClock(t.clock()));
        }
      }
    }
    return read;
  }

  /** Groups that the claim asks about, of so many variables that they are not kept one by one. */
  private Collection<Group> namedGroups() {
    Collection<Group> found = allNamedGroups();
    found.removeIf(g -> !standsForMany(g));
    return found;
  }

  private Collection<Group> allNamedGroups() {
    var found = new LinkedHashSet<Group>();
    found.addAll(groups.in(claim.condition()));
    whole.monitors().forEach(m -> found.addAll(groups.in(m.value())));
    return found;
  }

  /** Whether it is worth while to begin with a group, and then to look for others. */
  private boolean standsForMany(Group group) {
    return namingAny || (group.members().size() >= Groups.MANY_MEMBERS && areAlike(group));
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
    if (kept.groups().stream().noneMatch(this::standsForMany)) {
      return List.of();
    }
    if (offered == null) {
      offered = groups.all(claim);
    }
    return offered;
  }
}
