/** Tests of the canonical layout. */
@NullMarked
package stoplog.dsl.format;

import org.jspecify.annotations.NullMarked;
