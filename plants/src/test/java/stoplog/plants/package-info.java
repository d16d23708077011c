/**
 * The shipped plants as a whole system sees them: read from their files, decided claim by claim, told
 * as stories, and compared letter by letter with what stands beside them.
 */
@NullMarked
package stoplog.plants;

import org.jspecify.annotations.NullMarked;
