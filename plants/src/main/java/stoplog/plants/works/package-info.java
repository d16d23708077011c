/**
 * Writes large plants out of parts of the small ones: a works of any number of tags, trains side by side
 * that share a cleaning skid, and alarm groups of any size. Plain text comes out, the same for the same
 * size in every run; nothing is read or decided here.
 */
@NullMarked
package stoplog.plants.works;

import org.jspecify.annotations.NullMarked;
