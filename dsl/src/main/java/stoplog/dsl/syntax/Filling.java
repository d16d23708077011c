package stoplog.dsl.syntax;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.Window;
import stoplog.source.Span;

/**
 * What the open parts of a text are filled with.
 *
 * @param template whose text it is; {@code null} for a text outside all templates, where nothing
 *     fills an open part
 * @param values by parameter
 */
record Filling(@Nullable String template, Map<String, Value> values) {
  static final Filling NONE = new Filling(null, Map.of());

  Filling {
    values = Collections.unmodifiableMap(new LinkedHashMap<>(values));
  }

  /**
   * What a parameter stands for.
   *
   * @param words as it is put into a text between quotes
   * @param plain whether these words may stand in a tag or name
   * @param window if it is a number, a value with a unit or a window; else {@code null}
   * @param expression if it is a condition, tag or name; else {@code null}
   * @param span where that is written
   */
  record Value(
      String words,
      boolean plain,
      @Nullable Window window,
      @Nullable Expression expression,
      Span span) {}
}
