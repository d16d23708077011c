/** Tests of the plant model. */
@NullMarked
package stoplog.model;

import org.jspecify.annotations.NullMarked;
