/**
 * Benchmarks of reading and deciding, as ratios measured in one process. Not among the tests that always
 * run, but for one that sees that they still do; their command is in {@code DEVELOPERS.md}.
 */
@NullMarked
package stoplog.plants.bench;

import org.jspecify.annotations.NullMarked;
