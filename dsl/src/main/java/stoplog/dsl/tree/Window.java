package stoplog.dsl.tree;

import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/**
 * {@code 4..8 s} as written. The unit behind the second number covers both.
 *
 * @param high {@code null} if only one number was written
 */
public record Window(Quantity low, @Nullable Quantity high, Span span) {}
