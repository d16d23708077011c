package stoplog.model;

import stoplog.source.Span;

/**
 * A named expression without memory: a derived process condition or an instrument without lag. It has
 * at any moment the value its expression has then.
 *
 * @param id its index in {@link Model#definitions()}; its expression uses lower indices only, so
 *     definitions cannot form a cycle
 */
public record Definition(int id, String name, Expr value, String text, Span origin) {}
