/**
 * Checks against facts that others published: puzzles, nets and protocols whose numbers of states or
 * least times stand in the literature, and standards that draw what a timer or a two-hand control has
 * to do. None of it is about water; that is the point.
 *
 * <p>Each model is written from the rules of its source. Each expected number names its source beside
 * it; "from memory" says that the source was not at hand, "derived" that the number follows from cited
 * ones by arithmetic.
 *
 * <p>Where a model has no logic its controller is without power, so that no scan is ever due and a
 * state is nothing but the values of the variables.
 */
@NullMarked
package stoplog.plants.outside;

import org.jspecify.annotations.NullMarked;
