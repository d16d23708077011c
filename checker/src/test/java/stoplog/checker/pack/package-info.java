/** Packed states hold what was put into them. */
@NullMarked
package stoplog.checker.pack;

import org.jspecify.annotations.NullMarked;
