/** Times of traces against independent ways to find them. */
@NullMarked
package stoplog.checker.evidence;

import org.jspecify.annotations.NullMarked;
