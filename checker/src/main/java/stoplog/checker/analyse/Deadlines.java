package stoplog.checker.analyse;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Precedent;
import stoplog.checker.abstraction.PrimeCover;
import stoplog.checker.abstraction.Reachable;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * Whether each deadline of a plant can be met, so that time does not come to stand still.
 *
 * <p>Each is a claim or several, decided like those of the plant. A proof that a {@link Remembered} knows of
 * stands where its question is the same.
 */
final class Deadlines {
  /** Beyond it, it is asked first what the variables around a deadline can be together. */
  private static final Budget AT_ONCE = new Budget(2_000, 64L << 20, Duration.ofSeconds(2));

  /** Combinations of values up to which it is asked what a few variables can be together. */
  private static final int MOST_TOGETHER = 5_000;

  private static final Budget PATIENT = new Budget(200_000, 256L << 20, Duration.ofSeconds(10));

  private final Model model;
  private final Reads reads;
  private final int mostFaults;
  private final Remembered remembered;
  private final Progress progress;
  private final Movers movers;
  private final Map<Integer, Expr> together = new HashMap<>();

  /** @param mostFaults as many as any claim tolerates */
  Deadlines(Reads reads, int mostFaults, Remembered remembered, Progress progress) {
    this.model = reads.model();
    this.reads = reads;
    this.mostFaults = mostFaults;
    this.remembered = remembered;
    this.progress = progress;
    this.movers = new Movers(reads);
  }

  /**
   * While the clock runs, some change that can stop it must be allowed when it stands at its limit: one
   * that comes by itself, in its own time. Whether a change that waits for another clock has waited
   * long enough by then is not looked at. "No" may only mean that it was not proved.
   */
  boolean isMet(Clock clock) {
    if (clock.limit() == null) {
      return true;
    }
    BitSet stops = reads.of(clock.running());
    var guards = new ArrayList<Expr>();
    for (int id : movers.of(clock.id(), stops).stream().toArray()) {
      FieldChange c = model.changes().get(id);
      FieldChange.Timing t = c.timing();
      boolean waits = t != null && t.clock() == clock.id();
      boolean inTime = !waits || t.isOpenAt(clock.limit());
      boolean byItself =
          switch (c.cause()) {
            case EQUIPMENT, INSTRUMENT, TIMER -> true;
            case PROCESS -> t != null;
            case OPERATOR, FAULT, POWER -> false;
          };
      if (byItself && inTime) {
        guards.add(c.guard());
      }
    }
    return isNever(Expr.all(clock.running(), Expr.not(Expr.any(guards))), clock);
  }

  /**
   * Whether the condition is proved never to last. (Other changes may stop a clock in the instant in
   * which it is due; only lasting counts.) What lasts is one of its cases for some time, since in any
   * time there are only so many steps.
   */
  private boolean isNever(Expr condition, Clock clock) {
    if (cases(condition).isEmpty() || isProved(condition, AT_ONCE, clock, clock.name())) {
      return true;
    }
    var parts = new ArrayList<Expr>(List.of(condition));
    reads.of(condition).stream().forEach(v -> parts.add(together(v)));
    List<Expr> cases = cases(Expr.all(parts));
    for (int i = 0; i < cases.size(); i++) {
      if (!isProved(cases.get(i), PATIENT, clock, clock.name() + ", case " + (i + 1))) {
        return false;
      }
    }
    return true;
  }

  private List<Expr> cases(Expr condition) {
    return PrimeCover.of(model, condition).orElse(List.of(condition));
  }

  /** What the variable can be beside what it answers to at once; true if there is no telling. */
  private Expr together(int variable) {
    return together.computeIfAbsent(
        variable,
        v -> {
          BitSet around = movers.answeredBy(v);
          long combinations = 1;
          for (int a : around.stream().toArray()) {
            combinations = Math.min(combinations * model.variable(a).size(), Integer.MAX_VALUE);
          }
          return combinations > MOST_TOGETHER
              ? Expr.TRUE
              : Reachable.of(reads, around, mostFaults, PATIENT, progress).orElse(Expr.TRUE);
        });
  }

  /** @param what names the question among all that are asked of the plant */
  private boolean isProved(Expr never, Budget budget, Clock clock, String what) {
    Claim claim = Health.ask(never, mostFaults, clock.origin());
    Precedent.Proof earlier = remembered.proofOf(what);
    if (earlier != null && earlier.carried(reads, claim) instanceof Verdict.Proved) {
      remembered.put(what, earlier);
      return true;
    }
    if (!remembered.isKept()) {
      return Decider.decide(reads, claim, budget, progress) instanceof Verdict.Proved;
    }
    Decider.Decision decision = Decider.decideRecorded(reads, claim, false, budget, progress);
    if (Precedent.of(reads, decision) instanceof Precedent.Proof proof) {
      remembered.put(what, proof);
    }
    return decision.verdict() instanceof Verdict.Proved;
  }
}
