/** The implementations of the semantics held against each other on random models. */
@NullMarked
package stoplog.checker.differential;

import org.jspecify.annotations.NullMarked;
