package stoplog.checker.report;

import stoplog.source.Span;

/**
 * Something about the plant that makes its proofs say less than they seem to.
 *
 * @param kind one word for programs, such as {@code never happens}
 * @param voidsProofs whether no proof stands beside it
 * @param text a sentence without full stop
 * @param at where the plant says it
 */
public record Concern(String kind, boolean voidsProofs, String text, Span at) {}
