package stoplog.dsl.tree;

import java.util.List;
import java.util.Set;
import stoplog.source.SourceFile;

/**
 * A whole plant text.
 *
 * @param declarations those that could be read, in the order written
 * @param unread every word of the passages that could not be read. Something named there may have
 *     been declared there, so a name found nowhere else is no second error.
 */
public record PlantTree(SourceFile file, List<Declaration> declarations, Set<String> unread) {
  /** Among the unread words: things of any name may have been declared in what is missing. */
  public static final String ANYTHING = "*";

  public PlantTree {
    declarations = List.copyOf(declarations);
    unread = Set.copyOf(unread);
  }

  /** Whether every declaration could be read. */
  public boolean isWhole() {
    return unread.isEmpty();
  }
}
