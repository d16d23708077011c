package stoplog.model;

import java.util.List;

/**
 * The answer to one question: can the claim's condition be reached? (For {@link
 * Claim.Kind#ALWAYS_CAN}: can a lock-out?)
 *
 * @param kept names of the variables the answer leans on, in the order of the model
 */
public sealed interface Verdict {
  Effort effort();

  List<String> kept();

  /**
   * No run of the model gets there.
   *
   * @param longestQuanta no run holds the condition for longer than this many quanta; -1 if it never
   *     holds at all. At most the claim's {@code forQuanta}; the difference is the margin, and the true
   *     margin may be larger. Says nothing, and is 0, for {@link Claim.Kind#ALWAYS_CAN}.
   */
  record Proved(long longestQuanta, List<String> kept, Effort effort) implements Verdict {
    public Proved {
      kept = List.copyOf(kept);
    }
  }

  /**
   * This run gets there; it was replayed by the reference interpreter.
   *
   * @param events how many steps of the trace touch what the hazard depends on
   * @param fewest no run has fewer such steps than this; equal to {@code events} if the trace is a
   *     shortest one. For {@link Claim.Kind#ALWAYS_CAN} the trace ends in the lock-out.
   */
  record Reached(Trace trace, int events, int fewest, List<String> kept, Effort effort)
      implements Verdict {
    public Reached {
      kept = List.copyOf(kept);
    }
  }

  /**
   * Not decided.
   *
   * @param reason why, in one sentence without full stop
   * @param covered what was covered: no run with fewer steps than this many gets there
   */
  record Undecided(String reason, int covered, List<String> kept, Effort effort) implements Verdict {
    public Undecided {
      kept = List.copyOf(kept);
    }
  }

  /**
   * What it took.
   *
   * @param states discrete states stored in the deciding search
   * @param zones zones stored in the deciding search
   * @param searches how many searches, refinements included
   * @param nanos wall time
   */
  record Effort(long states, long zones, int searches, long nanos) {}
}
