/**
 * The plant model: what a plant text means, in a handful of constructs that the reference
 * interpreter, the explorer and the certificate checker each read for themselves.
 *
 * <p>A {@link stoplog.model.Model} has finite {@link stoplog.model.Variable variables}, dense-time
 * {@link stoplog.model.Clock clocks}, {@link stoplog.model.FieldChange field changes} and one {@link
 * stoplog.model.Controller controller}. A state gives every variable a value, and every clock whose
 * {@code running} condition holds a non-negative real number of quanta.
 *
 * <p><b>Start.</b> Every variable takes a value of its {@code initial} set, each combination being
 * one possible start. The start assignments, the reactions and then the monitors are carried out
 * once. A scan is due if the controller has logic and is powered. Running clocks are at 0.
 *
 * <p><b>Time passes.</b> All running clocks advance together. Time may not advance beyond the {@code
 * limit} of a running clock, beyond the reaction time of a due scan, nor at all while an immediate
 * scan (reaction time 0) is due.
 *
 * <p><b>A step</b> is a field change or a scan. It carries out its own assignments in order, each
 * seeing the ones before it; then the model's reactions in order; then the monitors of the claim in
 * question. Then:
 * <ol>
 *   <li>{@code due} is updated as {@link stoplog.model.Controller} says;
 *   <li>a clock whose condition holds now but did not hold before the step starts at 0; one whose
 *       condition held before and holds now runs on; all others are without value.
 * </ol>
 * Conditions are compared before and after the whole step, never in its midst: a drop and a new start
 * in <em>two</em> steps of one instant does restart a clock, a drop and a new start within one step
 * cannot happen because every step ends in one state.
 *
 * <p><b>Ties.</b> Windows are closed unless a bound says open. Two things due at one instant happen
 * in either order; both orders are behaviours of the plant.
 *
 * <p><b>Clock differences are never compared.</b> No construct relates two clocks with each other.
 * The explorer's extrapolation is sound only because of this; a construct that needs it must not be
 * added without changing the extrapolation.
 */
@NullMarked
package stoplog.model;

import org.jspecify.annotations.NullMarked;
