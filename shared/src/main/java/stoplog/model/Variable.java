package stoplog.model;

import java.util.List;
import stoplog.source.Span;

/**
 * A variable with a small finite domain, the values 0 to {@code values.size() - 1}.
 *
 * @param id its index in {@link Model#variables()}
 * @param name unique in the model; the tag or name of the plant text, with a dot and a part where one
 *     thing needs several variables ({@code P-201.command})
 * @param role what part of the plant it belongs to
 * @param values what each value is called when it is told to a person; 1 to 64 of them, not
 *     necessarily distinct
 * @param initial the values it may start with, bit v for value v; not empty
 * @param text the description the plant gives it, or the empty string
 * @param origin where it was declared
 */
public record Variable(
    int id, String name, Role role, List<String> values, long initial, String text, Span origin) {
  public static final int MAX_VALUES = 64;

  public Variable {
    values = List.copyOf(values);
    if (values.isEmpty() || values.size() > MAX_VALUES) {
      throw new IllegalArgumentException(name + " has " + values.size() + " values");
    }
    if (initial == 0 || (initial & ~domain(values.size())) != 0) {
      throw new IllegalArgumentException(name + " starts outside its values");
    }
  }

  /** All values of the domain as bits. */
  public long domain() {
    return domain(values.size());
  }

  private static long domain(int size) {
    return size == MAX_VALUES ? -1L : (1L << size) - 1;
  }

  public int size() {
    return values.size();
  }
}
