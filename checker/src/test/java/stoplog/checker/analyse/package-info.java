/** Analyses on small plants whose answers are known by hand. */
@NullMarked
package stoplog.checker.analyse;

import org.jspecify.annotations.NullMarked;
