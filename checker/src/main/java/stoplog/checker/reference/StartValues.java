package stoplog.checker.reference;

import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.NoSuchElementException;
import stoplog.model.Variable;

/** Counts through the initial values of variables like an odometer, the first changing fastest. */
final class StartValues implements Iterator<List<Integer>> {
  private final List<Variable> variables;
  private final int[] next;
  private boolean more = true;

  StartValues(List<Variable> variables) {
    this.variables = variables;
    this.next = new int[variables.size()];
    for (Variable v : variables) {
      next[v.id()] = Long.numberOfTrailingZeros(v.initial());
    }
  }

  @Override
  public boolean hasNext() {
    return more;
  }

  @Override
  public List<Integer> next() {
    if (!more) {
      throw new NoSuchElementException();
    }
    var current = new ArrayList<Integer>();
    for (int value : next) {
      current.add(value);
    }
    more = false;
    for (Variable v : variables) {
      // The values above the present one; a shift by 64 would be a shift by 0.
      long above = next[v.id()] == 63 ? 0 : v.initial() >>> (next[v.id()] + 1);
      if (above != 0) {
        next[v.id()] += 1 + Long.numberOfTrailingZeros(above);
        more = true;
        break;
      }
      next[v.id()] = Long.numberOfTrailingZeros(v.initial());
    }
    return current;
  }
}
