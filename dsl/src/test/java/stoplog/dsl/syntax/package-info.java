/** Tests of the grammar. */
@NullMarked
package stoplog.dsl.syntax;

import org.jspecify.annotations.NullMarked;
