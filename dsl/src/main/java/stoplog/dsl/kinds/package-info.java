/**
 * Kinds of equipment as data: their states, how they answer their commands, their time windows,
 * feedback words and faults. They are written in the language itself, in the library that ships with
 * it or in a plant; no Java code knows any kind by name.
 */
@NullMarked
package stoplog.dsl.kinds;

import org.jspecify.annotations.NullMarked;
