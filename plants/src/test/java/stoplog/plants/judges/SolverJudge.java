package stoplog.plants.judges;

import com.microsoft.z3.Context;
import com.microsoft.z3.Params;
import com.microsoft.z3.Solver;
import com.microsoft.z3.Statistics;
import com.microsoft.z3.Z3Exception;
import java.util.Collection;
import stoplog.checker.export.HornText;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * The fixed-point engine of a general-purpose SMT library as a judge: it is given the text that anyone
 * can export, and nothing else.
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
