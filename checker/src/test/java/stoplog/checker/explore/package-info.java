/** The search against the plainest search there is. */
@NullMarked
package stoplog.checker.explore;

import org.jspecify.annotations.NullMarked;
