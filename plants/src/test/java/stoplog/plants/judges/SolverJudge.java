package stoplog.plants.judges;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.microsoft.z3.Context;
import com.microsoft.z3.Native;
import com.microsoft.z3.Params;
import com.microsoft.z3.Solver;
import com.microsoft.z3.Statistics;
import com.microsoft.z3.Z3Exception;
import java.util.Collection;
import java.util.Collections;
import java.util.List;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.export.HornText;
import stoplog.checker.export.ProofText;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * A general-purpose SMT library as a judge: its fixed-point engine searches for itself, its solver looks
 * at proofs. It is given the text that anyone can export, and nothing else.
 */
public final class SolverJudge {
  private SolverJudge() {}

  /** What the solver says of the condition of a claim. */
  public enum Answer {
    REACHABLE,
    UNREACHABLE,
    UNKNOWN
  }

  /**
   * An answer with what it took.
   *
   * @param steps as the solver counts them; the same on every machine
   */
  public record Counted(Answer answer, long steps) {}

  /** Gives up after so many milliseconds. */
  public static Answer decide(Model model, Claim claim, int milliseconds) {
    return ask(HornText.of(model, claim), "timeout", milliseconds).answer();
  }

  /** Gives up after so many steps: its answer depends neither on the machine nor on its load. */
  public static Counted decideWithin(Model model, Claim claim, int steps) {
    return ask(HornText.of(model, claim), "rlimit", steps);
  }

  /** The same from the clauses over these variables alone: only "unreachable" tells of the plant. */
  public static Counted decideKeeping(
      Model model, Claim claim, Collection<String> kept, int steps) {
    return ask(HornText.keeping(model, claim, kept), "rlimit", steps);
  }

  /**
   * What the solver says of the set of states that a proof gives.
   *
   * @param asked how many questions there were: a start, steps, and the claim
   * @param holding to how many of them it says that nothing leads out of the set, or breaks it
   * @param failing to how many it says that something does
   */
  public record Examined(int asked, int holding, int failing) {
    /** Whether it confirms the proof. */
    public boolean confirmed() {
      return holding == asked && asked > 0;
    }
  }

  /**
   * Asks about a proof with the text that anyone can export; gives up on a question after so many steps.
   */
  public static Examined examine(Model model, Certificate certificate, int steps) {
    long settings = Native.mkConfig();
    long context = Native.mkContext(settings);
    try {
      String text = ProofText.of(model, certificate);
      List<String> answers =
          Native.evalSmtlib2String(context, "(set-option :rlimit " + steps + ")\n" + text).lines().toList();
      int asked = text.split("\\(check-sat\\)", -1).length - 1;
      assertEquals(asked, answers.size(), () -> String.join("\n", answers));
      return new Examined(
          asked, Collections.frequency(answers, "unsat"), Collections.frequency(answers, "sat"));
    } finally {
      Native.delContext(context);
      Native.delConfig(settings);
    }
  }

  private static Counted ask(String clauses, String limit, int most) {
    try (var context = new Context()) {
      Solver solver = context.mkSolver("HORN");
      Params params = context.mkParams();
      params.add(limit, most);
      solver.setParameters(params);
      solver.fromString(clauses);
      Answer answer =
          switch (solver.check()) {
            case SATISFIABLE -> Answer.UNREACHABLE;
            case UNSATISFIABLE -> Answer.REACHABLE;
            case UNKNOWN -> Answer.UNKNOWN;
          };
      return new Counted(answer, steps(solver.getStatistics()));
    } catch (Z3Exception e) {
      throw new AssertionError(e.getMessage() + "\n" + clauses, e);
    }
  }

  private static long steps(Statistics statistics) {
    for (Statistics.Entry e : statistics.getEntries()) {
      if (e.Key.equals("rlimit count")) {
        return e.getUIntValue();
      }
    }
    return 0;
  }
}
