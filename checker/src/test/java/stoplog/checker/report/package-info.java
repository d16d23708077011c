/** Stories and reports as a reader gets them, compared letter by letter. */
@NullMarked
package stoplog.checker.report;

import org.jspecify.annotations.NullMarked;
