/**
 * From resolved plant to plant model. Nothing here can fail: what a plant text may get wrong was
 * told before. One class for each part of the plant; {@link stoplog.dsl.lower.Lowering} is the
 * order.
 */
@NullMarked
package stoplog.dsl.lower;

import org.jspecify.annotations.NullMarked;
