/** Zones against the points they stand for. */
@NullMarked
package stoplog.checker.zone;

import org.jspecify.annotations.NullMarked;
