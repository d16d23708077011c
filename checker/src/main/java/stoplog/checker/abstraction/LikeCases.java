package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.model.Claim;
import stoplog.model.Verdict;

/**
 * Proofs of cases of one claim, carried over to others of its cases that are about like things: if a search would be
 * the same but for the names ({@link QuestionText}), so is what it shows. Between the cases of a claim as
 * between the claims of a {@link Family}.
 */
final class LikeCases {
  /** How many earlier proofs are tried, the latest first. */
  private static final int TRIED = 2;

  /** States of a search up to which it is as quickly repeated as compared, unless there are many cases. */
  private static final long FEW_STATES = 24;

  private final Reads reads;
  private final boolean many;
  private final List<Proof> proofs = new ArrayList<>();

  /**
   * @param question of the search that showed it
   */
  private record Proof(Claim of, Decider.Decision decision, Kept kept, String question) {}

  /** @param cases how many there are */
  LikeCases(Reads reads, int cases) {
    this.reads = reads;
    this.many = cases >= Groups.MANY_MEMBERS;
  }

  /** Makes known what was decided of a case; of use only if it was proved by a search that kept this. */
  void add(Claim one, Decider.Decision decision, @Nullable Kept kept) {
    if (kept != null
        && decision.verdict() instanceof Verdict.Proved p
        && (many || p.effort().states() > FEW_STATES)) {
      proofs.addFirst(new Proof(one, decision, kept, QuestionText.of(reads, one, kept)));
    }
  }

  /** The decision on another case if an earlier proof is carried over; null if not. */
  Decider.@Nullable Decision carriedOver(Claim other) {
    for (Proof p : proofs.subList(0, Math.min(TRIED, proofs.size()))) {
      Likeness likeness = Likeness.of(reads, p.of, other, p.kept);
      if (likeness != null && p.question.equals(likeness.question(other))) {
        return decision(p, other, likeness);
      }
    }
    return null;
  }

  private Decider.@Nullable Decision decision(Proof proof, Claim other, Likeness likeness) {
    if (!(proof.decision.verdict() instanceof Verdict.Proved p)) {
      return null;
    }
    Kept kept = likeness.kept();
    Certificate certificate = proof.decision.certificate();
    return new Decider.Decision(
        new Verdict.Proved(p.longestQuanta(), Decider.names(reads, other, kept), p.effort()),
        certificate == null ? null : exchanged(certificate, kept, likeness),
        proof.decision.grounds() == null ? null : Grounds.of(reads, other, kept));
  }

  /** The same set of states about the other case's things. */
  private Certificate exchanged(Certificate c, Kept kept, Likeness likeness) {
    Map<String, Integer> indices = reads.indices();
    List<String> keeps = likeness.of(c.keeps());
    int[] order =
        IntStream.range(0, keeps.size())
            .boxed()
            .sorted(Comparator.comparing(i -> indices.get(keeps.get(i))))
            .mapToInt(Integer::intValue)
            .toArray();
    List<String> follows =
        likeness.of(c.follows()).stream().sorted(Comparator.comparing(indices::get)).toList();
    var clocks = new HashMap<String, String>();
    List<Certificate.State> states =
        c.states().stream()
            .map(
                s ->
                    new Certificate.State(
                        Arrays.stream(order).mapToObj(s.values()::get).toList(),
                        s.groups(), s.due(), s.faults(),
                        s.bounds().stream().map(b -> exchanged(b, clocks, likeness)).toList()))
            .toList();
    return new Certificate(
        c.plant(), c.fingerprint(), c.claim(),
        Arrays.stream(order).mapToObj(keeps::get).toList(), follows,
        kept.groups().stream().map(g -> g.named(reads.model())).toList(), c.due(), states);
  }

  private static Certificate.Bound exchanged(
      Certificate.Bound b, Map<String, String> clocks, Likeness likeness) {
    return new Certificate.Bound(
        clocks.computeIfAbsent(b.upper(), likeness::clock),
        clocks.computeIfAbsent(b.lower(), likeness::clock),
        b.quanta(), b.attained());
  }
}
