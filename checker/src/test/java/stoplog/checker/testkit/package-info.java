/**
 * Models for tests, written down by name instead of by index, so that a test reads as the small plant
 * it is about.
 */
@NullMarked
package stoplog.checker.testkit;

import org.jspecify.annotations.NullMarked;
