package stoplog.model;

/**
 * What the controller takes for the truth: a command, feedback or reading, beside the fact of the
 * field that it stands for. Used by traces to say who looked at the wrong thing; it has no influence
 * on behaviour.
 *
 * @param shown what the controller reads, a truth value ({@code P-201 is commanded on})
 * @param truth what a reader takes it for, a truth value ({@code P-201 is turning})
 * @param shownText {@code "the command of P-201"}
 * @param equipment the equipment or process variable the truth is about, or -1
 */
public record Indication(Expr shown, Expr truth, String shownText, int equipment) {}
