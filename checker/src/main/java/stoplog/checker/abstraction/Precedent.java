package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Fingerprint;
import stoplog.checker.evidence.NamedRun;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Claim;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/**
 * A verdict found earlier, for the same plant before an edit or for a claim of like things, that may
 * spare a search: if the question is the same to the letter, so is the answer. Runs are replayed
 * besides. It is told by names, so that it can be written down.
 */
public sealed interface Precedent {
  Grounds grounds();

  /**
   * That no run gets there.
   *
   * @param longestQuanta as {@link Verdict.Proved#longestQuanta}
   * @param states of the search that showed it
   * @param zones of that search
   */
  record Proof(Grounds grounds, long longestQuanta, long states, long zones) implements Precedent {
    private Verdict verdict(Reads reads, Claim claim, List<Kept> kept, long startNanos) {
      BitSet followed = new BitSet();
      kept.forEach(k -> followed.or(k.followed()));
      return new Verdict.Proved(
          longestQuanta, Decider.names(reads, claim, followed),
          new Verdict.Effort(states, zones, 0, System.nanoTime() - startNanos));
    }
  }

  /**
   * A run that gets there.
   *
   * @param grounds of the search that showed that none has fewer events than {@code fewest}
   * @param leans names of the variables it leans on
   */
  record Found(
      Grounds grounds, NamedRun run, int events, int fewest, List<String> leans, long states, long zones)
      implements Precedent {
    public Found {
      leans = List.copyOf(leans);
    }

    /** Null if there is no such run. */
    private @Nullable Verdict verdict(
        Reads reads, Claim claim, @Nullable Trace trace, List<String> names, long startNanos) {
      return trace != null && Replay.run(reads.model(), claim, trace) instanceof Replayed.Valid
          ? new Verdict.Reached(
              trace, events, fewest, names,
              new Verdict.Effort(states, zones, 0, System.nanoTime() - startNanos))
          : null;
    }
  }

  /** What a decision leaves to later ones; null if it stands on nothing that can be told. */
  static @Nullable Precedent of(Reads reads, Decider.Decision decision) {
    Grounds grounds = decision.grounds();
    if (grounds == null) {
      return null;
    }
    Verdict.Effort e = decision.verdict().effort();
    return switch (decision.verdict()) {
      case Verdict.Proved p -> new Proof(grounds, p.longestQuanta(), e.states(), e.zones());
      case Verdict.Reached r ->
          new Found(
              grounds, NamedRun.of(reads.model(), r.trace()), r.events(), r.fewest(), r.kept(),
              e.states(), e.zones());
      case Verdict.Undecided _ -> null;
    };
  }

  /**
   * The same verdict for a claim of the name it had, if a search of this model with the same kept would
   * be the same search; null if not. What voids the proofs of a model is asked of this model. Costs no
   * search.
   */
  default @Nullable Verdict carried(Reads reads, Claim claim) {
    long start = System.nanoTime();
    List<Claim> asked = stands(reads, claim) ? grounds().about(reads, claim) : null;
    if (asked == null) {
      return null;
    }
    var kept = new ArrayList<Kept>();
    for (int i = 0; i < asked.size(); i++) {
      Grounds.Part part = grounds().parts().get(i);
      Kept here = part.keptIn(reads);
      if (here == null
          || !Fingerprint.of(QuestionText.of(reads, asked.get(i), here)).equals(part.question())) {
        return null;
      }
      kept.add(here);
    }
    return switch (this) {
      case Proof p -> p.verdict(reads, claim, kept, start);
      case Found f -> f.verdict(reads, claim, f.run.in(reads.model()), f.leans, start);
    };
  }

  /**
   * The same verdict for a claim about other things of the same plant, if those are alike in all that
   * the search has seen; null if not, or if it is not easily told. Costs no search.
   *
   * @param like the claim that this was found for, in the same model
   */
  default @Nullable Verdict carriedOver(Reads reads, Claim claim, Claim like) {
    long start = System.nanoTime();
    List<Claim> asked = stands(reads, claim) ? grounds().about(reads, claim) : null;
    List<Claim> answered = asked == null ? null : grounds().about(reads, like);
    if (asked == null || answered == null) {
      return null;
    }
    Likeness last = null;
    var kept = new ArrayList<Kept>();
    for (int i = 0; i < asked.size(); i++) {
      Grounds.Part part = grounds().parts().get(i);
      Kept there = part.keptIn(reads);
      last = there == null ? null : Likeness.of(reads, answered.get(i), asked.get(i), there);
      String question = last == null ? null : last.question(asked.get(i));
      if (last == null || question == null || !Fingerprint.of(question).equals(part.question())) {
        return null;
      }
      kept.add(last.kept());
    }
    return switch (this) {
      case Proof p -> p.verdict(reads, claim, kept, start);
      case Found f -> {
        Trace trace = f.run.in(reads.model());
        yield trace == null || last == null || kept.size() > 1
            ? null
            : f.verdict(reads, claim, last.of(trace), last.of(f.leans), start);
      }
    };
  }

  private boolean stands(Reads reads, Claim claim) {
    return claim.kind() != Claim.Kind.ALWAYS_CAN
        && (this instanceof Found || reads.restless().isEmpty());
  }
}
