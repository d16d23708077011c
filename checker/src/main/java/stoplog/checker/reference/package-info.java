/**
 * The meaning of a plant, as plainly as it can be written: one concrete run at a time, with concrete
 * times. This package is what every faster part of the checker is measured against, so it stays small
 * and slow, reads no other part of the checker, and follows the text of {@link stoplog.model} sentence
 * by sentence.
 *
 * <p>Time is counted in <em>ticks</em>, a fixed whole number of them to the quantum, so that all
 * arithmetic is exact. {@link stoplog.checker.reference.Interpreter} makes single moves, {@link
 * stoplog.checker.reference.Replay} follows a written-down run, {@link
 * stoplog.checker.reference.EarliestTimes} finds the times of a run of which only the steps are known,
 * and {@link stoplog.checker.reference.TickJudge} and {@link stoplog.checker.reference.LockOutJudge}
 * decide small plants by trying everything.
 */
@NullMarked
package stoplog.checker.reference;

import org.jspecify.annotations.NullMarked;
