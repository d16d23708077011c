package stoplog.plants.judges;

import com.microsoft.z3.Context;
import com.microsoft.z3.Params;
import com.microsoft.z3.Solver;
import com.microsoft.z3.Status;
import com.microsoft.z3.Z3Exception;
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

  /** Gives up after so many milliseconds. */
  public static Answer decide(Model model, Claim claim, int milliseconds) {
    try (var context = new Context()) {
      Solver solver = context.mkSolver("HORN");
      Params params = context.mkParams();
      params.add("timeout", milliseconds);
      solver.setParameters(params);
      solver.fromString(HornText.of(model, claim));
      Status status = solver.check();
      return switch (status) {
        case SATISFIABLE -> Answer.UNREACHABLE;
        case UNSATISFIABLE -> Answer.REACHABLE;
        case UNKNOWN -> Answer.UNKNOWN;
      };
    } catch (Z3Exception e) {
      throw new AssertionError(e.getMessage() + "\n" + HornText.of(model, claim), e);
    }
  }
}
