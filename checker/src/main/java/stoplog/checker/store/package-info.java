/** Where a search keeps what it has seen: tables of packed words, compared in full. */
@NullMarked
package stoplog.checker.store;

import org.jspecify.annotations.NullMarked;
