/** Sets of clock values as difference bounds over the clocks that run in a state. */
@NullMarked
package stoplog.checker.zone;

import org.jspecify.annotations.NullMarked;
