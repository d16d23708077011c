/** Tests of how diagnostics are shown. */
@NullMarked
package stoplog.diag;

import org.jspecify.annotations.NullMarked;
