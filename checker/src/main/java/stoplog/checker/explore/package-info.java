/** Breadth-first search over discrete states and zones; knows nothing of plants, only of timed systems. */
@NullMarked
package stoplog.checker.explore;

import org.jspecify.annotations.NullMarked;
