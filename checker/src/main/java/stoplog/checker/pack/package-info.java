/** Discrete states as packed words: only what a search keeps, each variable in as few bits as its values need. */
@NullMarked
package stoplog.checker.pack;

import org.jspecify.annotations.NullMarked;
