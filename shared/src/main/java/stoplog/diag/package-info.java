/** Diagnostics as data, and how they are shown as text, in colour and as JSON. */
@NullMarked
package stoplog.diag;

import org.jspecify.annotations.NullMarked;
