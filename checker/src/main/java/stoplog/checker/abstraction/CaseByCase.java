package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * Puts together what came of the {@link Cases} of a claim, each decided by itself: so it costs what each
 * keeps, one after the other, and not what all of them do together. What is proved of one is carried over to
 * those that are {@link LikeCases like it}.
 */
final class CaseByCase {
  private final Map<String, Integer> indices;
  private final BitSet kept = new BitSet();
  private final List<Certificate> certificates = new ArrayList<>();
  private final List<@Nullable Grounds> grounds = new ArrayList<>();
  private Verdict.@Nullable Reached shortest;
  private Verdict.@Nullable Undecided open;
  private int fewest = Integer.MAX_VALUE;
  private long longest = -1;
  private long states;
  private long zones;

  /** How a case is asked. */
  interface OfCase {
    Refinement of(Claim one);
  }

  private CaseByCase(Reads reads) {
    this.indices = reads.indices();
  }

  /**
   * Of runs that are found the one with the fewest events counts, of those the first.
   *
   * @param like gets what is proved of the cases, and may hold such already
   */
  static Decider.Decision decide(
      Reads reads, List<Claim> cases, LikeCases like, OfCase decider, Searches searches) {
    Model model = reads.model();
    var all = new CaseByCase(reads);
    for (Claim c : cases) {
      Decider.Decision decision = like.carriedOver(c);
      if (decision == null) {
        Refinement question = decider.of(c);
        decision = question.decidedInOne();
        like.add(c, decision, question.provedWith());
      }
      all.add(decision);
    }
    Verdict.Effort last = searches.effort();
    return all.sum(model, new Verdict.Effort(all.states, all.zones, last.searches(), last.nanos()));
  }

  private void add(Decider.Decision decision) {
    Verdict verdict = decision.verdict();
    states += verdict.effort().states();
    zones += verdict.effort().zones();
    switch (verdict) {
      case Verdict.Proved p -> {
        longest = Math.max(longest, p.longestQuanta());
        p.kept().forEach(name -> kept.set(indices.get(name)));
        grounds.add(decision.grounds());
        if (decision.certificate() != null) {
          certificates.add(decision.certificate());
        }
      }
      case Verdict.Reached r -> {
        fewest = Math.min(fewest, r.fewest());
        shortest = shortest == null || r.events() < shortest.events() ? r : shortest;
      }
      case Verdict.Undecided u -> {
        fewest = Math.min(fewest, u.covered());
        open = open == null ? u : open;
      }
    }
  }

  private Decider.Decision sum(Model model, Verdict.Effort effort) {
    if (shortest != null) {
      return new Decider.Decision(
          new Verdict.Reached(
              shortest.trace(), shortest.events(), Math.min(fewest, shortest.events()),
              shortest.kept(), effort),
          null);
    }
    if (open != null) {
      return new Decider.Decision(
          new Verdict.Undecided(open.reason(), fewest, open.kept(), effort), null);
    }
    List<String> names = kept.stream().mapToObj(v -> model.variable(v).name()).toList();
    return new Decider.Decision(
        new Verdict.Proved(longest, names, effort),
        certificates.isEmpty() ? null : Certificate.of(certificates),
        Grounds.of(grounds));
  }
}
