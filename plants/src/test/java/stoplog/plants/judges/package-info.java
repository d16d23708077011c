/** General-purpose libraries as judges of our verdicts. */
@NullMarked
package stoplog.plants.judges;

import org.jspecify.annotations.NullMarked;
