package stoplog.checker.cli;

import java.time.Duration;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.Budget;

/**
 * What the user is ready to spend.
 *
 * @param claim on each claim
 * @param total on all claims and scenarios together; null for no such limit
 * @param given the names of the parts that were given
 */
record Limits(Budget claim, @Nullable Duration total, Set<String> given) {
  Limits {
    given = Set.copyOf(given);
  }

  static Limits standard() {
    return new Limits(Budget.standard(), null, Set.of());
  }
}
