package stoplog.model;

import java.util.List;

/**
 * The programmable controller: a scan program and the time it takes to react.
 *
 * <p><b>What it can see.</b> The <em>visible</em> variables are those whose old value the program may
 * read: variables read (directly or through definitions) before the program has assigned them. The
 * <em>watched</em> variables are the visible ones and those program-assigned ones that something other
 * than the program reads: a start assignment, a reaction, a guard or effect of a field change, a
 * clock's condition, {@code powered}, or the claim in question.
 *
 * <p><b>When scans happen.</b> {@code due} counts what the controller has not yet seen. After a field
 * change, if any watched variable differs from before the change, {@code due} becomes {@code min(due +
 * 1, coincident)} (a reaction time above 0 only needs to know 0 or not). A scan can happen exactly
 * when {@code due > 0} and the controller is powered. After a scan, {@code due} is 1 if the scan
 * (reactions included) changed any visible variable, else 0: an idle scan changes nothing and is no
 * step. While the controller is not powered {@code due} is 0; when power returns it is 1.
 *
 * <p>A due scan happens within the reaction time of the step that raised {@code due} from 0, or of
 * the scan that left it at 1. With a reaction time of 0 no time passes while {@code due > 0}, and while
 * {@code due = coincident} no field change can happen that would leave a watched variable different
 * from before and the controller powered: the scan comes first. (It comes at the same instant, so no
 * deadline is missed by waiting for it.)
 *
 * <p>A controller with an empty program never has a scan due.
 *
 * <p>A cyclic controller with cycle time T is covered by a reaction time of 2T: an input is read up to
 * one cycle late and outputs are written up to one cycle later.
 *
 * @param reactionQuanta reaction time in quanta, 0 or more
 * @param coincident how many field changes may share one scan if the reaction time is 0; 1 or more
 * @param powered whether the controller has power; reads variables no scan assigns
 * @param program the logic, in the order written
 */
public record Controller(
    long reactionQuanta, int coincident, Expr powered, List<Assignment> program) {
  public Controller {
    program = List.copyOf(program);
    if (reactionQuanta < 0 || reactionQuanta > Bound.MAX_QUANTA || coincident < 1 || coincident > 63) {
      throw new IllegalArgumentException("reaction time or coincidence out of range");
    }
  }

  /** A plant without logic. */
  public static Controller none() {
    return new Controller(0, 1, Expr.TRUE, List.of());
  }
}
