/**
 * Proofs on paper: what a proof claims, its text form, and a checker that believes nothing.
 *
 * <p>The checker states the meaning of a plant a third time, for sets of runs instead of single ones.
 * It shares the plant model with the explorer and no code: own evaluation, own steps, own zones, as
 * plain as they can be. It knows nothing of how a proof was found.
 */
@NullMarked
package stoplog.checker.certificate;

import org.jspecify.annotations.NullMarked;
