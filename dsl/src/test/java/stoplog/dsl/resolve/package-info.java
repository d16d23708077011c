/** Tests of numbers, units, bands and spelling. */
@NullMarked
package stoplog.dsl.resolve;

import org.jspecify.annotations.NullMarked;
