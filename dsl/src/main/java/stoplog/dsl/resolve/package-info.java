/**
 * From syntax tree to resolved plant: every name looked up, every number in one base unit of its
 * dimension, every reader kept to what it may read. The controller sees only the field; the process
 * and the claims speak of the truth.
 */
@NullMarked
package stoplog.dsl.resolve;

import org.jspecify.annotations.NullMarked;
