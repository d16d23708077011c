/**
 * The syntax tree of a plant text: what was written and where, with nothing looked up yet. Numbers
 * are exact decimals as written, names are words with a place. Records only; no ANTLR.
 */
@NullMarked
package stoplog.dsl.tree;

import org.jspecify.annotations.NullMarked;
