package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.Fingerprint;
import stoplog.model.Claim;
import stoplog.model.Verdict;

/**
 * What a proof stands on. Where a changed plant leaves it as it was, the proof stands as before.
 *
 * @param keeps names of the variables the proof keeps, in the order of the model
 * @param due whether it keeps track of scans being due
 * @param groups those whose truth it keeps
 * @param question SHA-256 of {@link QuestionText}
 */
public record Grounds(
    List<String> keeps, boolean due, List<Certificate.Group> groups, String question) {
  public Grounds {
    keeps = List.copyOf(keeps);
    groups = List.copyOf(groups);
  }

  static Grounds of(Reads reads, Claim claim, Kept kept) {
    return new Grounds(
        kept.variables().stream().mapToObj(v -> reads.model().variable(v).name()).toList(),
        kept.due(),
        kept.groups().stream().map(g -> g.named(reads.model())).toList(),
        Fingerprint.of(QuestionText.of(reads, claim, kept)));
  }

  /** The group in a model; null if it has no such variables. */
  private static @Nullable Group found(Certificate.Group group, Map<String, Integer> index) {
    var members = new ArrayList<Group.Member>();
    for (Certificate.Member m : group.members()) {
      Integer variable = index.get(m.variable());
      if (variable == null) {
        return null;
      }
      members.add(new Group.Member(variable, m.values()));
    }
    return new Group(group.atLeast(), members);
  }

  /**
   * A proof from earlier on.
   *
   * @param longestQuanta as {@link Verdict.Proved#longestQuanta}
   */
  public record Proof(Grounds grounds, long longestQuanta, long states, long zones) {}

  /**
   * The proof, if a search of this model with the same kept would be the same search; null if not.
   * What voids the proofs of a model is asked of this model. Costs no search.
   */
  public static Verdict.@Nullable Proved carried(Reads reads, Claim claim, Proof earlier) {
    long start = System.nanoTime();
    Grounds was = earlier.grounds();
    if (claim.kind() == Claim.Kind.ALWAYS_CAN || !reads.restless().isEmpty()) {
      return null;
    }
    Map<String, Integer> index = reads.model().indexByName();
    BitSet variables = new BitSet();
    for (String name : was.keeps()) {
      Integer variable = index.get(name);
      if (variable == null) {
        return null;
      }
      variables.set(variable);
    }
    var groups = new ArrayList<Group>();
    for (Certificate.Group g : was.groups()) {
      Group group = found(g, index);
      if (group == null) {
        return null;
      }
      groups.add(group);
    }
    var kept = new Kept(variables, was.due(), groups);
    if (!of(reads, claim, kept).question().equals(was.question())) {
      return null;
    }
    return new Verdict.Proved(
        earlier.longestQuanta(),
        Decider.names(reads, claim, kept),
        new Verdict.Effort(earlier.states(), earlier.zones(), 0, System.nanoTime() - start));
  }
}
