/** Plant text as it stands in files: a file, a place in it, and the way from offsets to lines. */
@NullMarked
package stoplog.source;

import org.jspecify.annotations.NullMarked;
