/**
 * From text to syntax tree. The grammar is {@code Plant.g4}; the types ANTLR makes of it stay in
 * this package. {@link stoplog.dsl.syntax.TreeReader} is the way in.
 *
 * <p>Reading never stops at the first error: a bad entry gives one diagnostic, and reading goes on
 * at the next entry of its block or the next declaration.
 */
@NullMarked
package stoplog.dsl.syntax;

import org.jspecify.annotations.NullMarked;
