/** Tests of the plant language; most of them are the cases under {@code src/test/corpus}. */
@NullMarked
package stoplog.dsl;

import org.jspecify.annotations.NullMarked;
