/**
 * The plant language: from a plant file to a plant model, or to diagnostics that say why not.
 * {@link stoplog.dsl.PlantReader} is the way in.
 *
 * <p>Text, syntax tree, resolved plant, model: each step is a function that adds to a list of
 * diagnostics, and none knows of the step after it.
 */
@NullMarked
package stoplog.dsl;

import org.jspecify.annotations.NullMarked;
