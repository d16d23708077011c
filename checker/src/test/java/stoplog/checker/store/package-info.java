/** Tables of packed words against plain collections of the JDK. */
@NullMarked
package stoplog.checker.store;

import org.jspecify.annotations.NullMarked;
