package stoplog.dsl.tree;

import stoplog.source.Span;

/** A tag, name, unit or other word as written, and where. */
public record Word(String text, Span span) {
  @Override
  public String toString() {
    return text;
  }
}
