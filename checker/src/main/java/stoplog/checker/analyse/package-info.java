/** What can be said of a plant beside its claims, one analysis a class; each asks the engine. */
@NullMarked
package stoplog.checker.analyse;

import org.jspecify.annotations.NullMarked;
