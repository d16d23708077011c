/** What stands behind a verdict: the times of a trace. */
@NullMarked
package stoplog.checker.evidence;

import org.jspecify.annotations.NullMarked;
