/**
 * The canonical layout of plant texts. {@link stoplog.dsl.format.Formatter} is the way in. It knows
 * the outline of a text, not its meaning, and changes nothing but white space and semicolons.
 */
@NullMarked
package stoplog.dsl.format;

import org.jspecify.annotations.NullMarked;
