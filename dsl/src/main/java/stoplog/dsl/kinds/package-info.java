/**
 * Kinds of equipment as data: their states, how they answer their command, their time windows and
 * feedback words. Nothing outside {@link stoplog.dsl.kinds.StandardKinds} knows any kind by name.
 */
@NullMarked
package stoplog.dsl.kinds;

import org.jspecify.annotations.NullMarked;
