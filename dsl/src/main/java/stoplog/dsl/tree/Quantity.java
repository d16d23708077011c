package stoplog.dsl.tree;

import java.math.BigDecimal;
import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/** A number with the unit written behind it, if any. */
public record Quantity(BigDecimal value, @Nullable Word unit, Span span) {}
