package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.Fingerprint;
import stoplog.model.Claim;

/**
 * What a verdict stands on: the questions of the searches that decided it. Where a changed plant leaves
 * them as they were, it stands as before.
 *
 * @param parts one, or one for each of the claim's {@link Cases} in their order
 */
public record Grounds(List<Part> parts) {
  /**
   * What one search kept, by names.
   *
   * @param keeps names of the variables it kept, in the order of the model
   * @param due whether it kept track of scans being due
   * @param groups those whose truth it kept
   * @param question SHA-256 of {@link QuestionText}
   */
  public record Part(
      List<String> keeps, boolean due, List<Certificate.Group> groups, String question) {
    public Part {
      keeps = List.copyOf(keeps);
      groups = List.copyOf(groups);
    }

    /** What it would keep in another model; null if that has no such variables. */
    @Nullable Kept keptIn(Reads reads) {
      Map<String, Integer> index = reads.indices();
      BitSet variables = new BitSet();
      for (String name : keeps) {
        Integer variable = index.get(name);
        if (variable == null) {
          return null;
        }
        variables.set(variable);
      }
      var found = new ArrayList<Group>();
      for (Certificate.Group g : groups) {
        Group group = found(g, index);
        if (group == null) {
          return null;
        }
        found.add(group);
      }
      return new Kept(variables, due, found);
    }

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
  }

  public Grounds {
    parts = List.copyOf(parts);
  }

  static Grounds of(Reads reads, Claim claim, Kept kept) {
    return new Grounds(
        List.of(
            new Part(
                kept.variables().stream().mapToObj(v -> reads.model().variable(v).name()).toList(),
                kept.due(),
                kept.groups().stream().map(g -> g.named(reads.model())).toList(),
                Fingerprint.of(QuestionText.of(reads, claim, kept)))));
  }

  /** Those of a claim whose cases stand on these, in their order; null if one stands on nothing told. */
  static @Nullable Grounds of(List<@Nullable Grounds> cases) {
    var parts = new ArrayList<Part>();
    for (Grounds g : cases) {
      if (g == null || g.parts.size() != 1) {
        return null;
      }
      parts.addAll(g.parts);
    }
    return new Grounds(parts);
  }

  /** The claims that the parts are about; null if this claim has other cases. */
  @Nullable List<Claim> about(Reads reads, Claim claim) {
    if (parts.size() == 1) {
      return List.of(claim);
    }
    List<Claim> cases = Cases.of(reads, claim);
    return cases.size() == parts.size() ? cases : null;
  }
}
