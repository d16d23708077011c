/**
 * The plant model and one claim in open formats, so that other programs can be asked for a second
 * opinion. Written from the meaning of the model alone: nothing of the search is used here.
 */
@NullMarked
package stoplog.checker.export;

import org.jspecify.annotations.NullMarked;
