/**
 * What a person or a program gets to see of the verdicts: the list of claims, the story of a run that
 * reaches a hazard, and the same as one JSON document.
 *
 * <p>Everything here turns values into text and decides nothing. A story is told from the states of a
 * run that the reference interpreter has replayed, never from the explorer's own view of it. The same
 * values give the same bytes: wall times appear only where they are asked for.
 */
@NullMarked
package stoplog.checker.report;

import org.jspecify.annotations.NullMarked;
