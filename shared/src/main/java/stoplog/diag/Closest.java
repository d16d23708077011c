package stoplog.diag;

import java.util.Collection;
import org.jspecify.annotations.Nullable;

/** Finds what a misspelt word was meant to be. */
public final class Closest {
  private Closest() {}

  /**
   * The one candidate that is clearly closest, or {@code null}: at most one slip for each three
   * letters, at most two in all, none in a word of three, and no other candidate as close.
   * O(candidates x length^2).
   */
  public static @Nullable String to(String word, Collection<String> candidates) {
    int limit = word.length() < 4 ? 0 : Math.min(2, word.length() / 3);
    String best = null;
    int bestSlips = limit + 1;
    for (String candidate : candidates) {
      if (Math.abs(candidate.length() - word.length()) > limit) {
        continue;
      }
      int slips = slips(word, candidate);
      if (slips < bestSlips) {
        best = candidate;
        bestSlips = slips;
      } else if (slips == bestSlips) {
        best = null;
      }
    }
    return best;
  }

  /** The finding, which asks whether the candidate was meant that is clearly closest, if there is one. */
  public static Diagnostic suggested(Diagnostic d, String word, Collection<String> candidates) {
    String close = to(word, candidates);
    return close == null ? d : d.withFix("did you mean `" + close + "`?");
  }

  /** Letters to put in, leave out, replace, or swap with their neighbour. */
  private static int slips(String a, String b) {
    int[][] d = new int[a.length() + 1][b.length() + 1];
    for (int i = 0; i <= a.length(); i++) {
      for (int j = 0; j <= b.length(); j++) {
        if (i == 0 || j == 0) {
          d[i][j] = i + j;
          continue;
        }
        int replace = d[i - 1][j - 1] + (a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1);
        d[i][j] = Math.min(replace, 1 + Math.min(d[i - 1][j], d[i][j - 1]));
        boolean swapped =
            i > 1
                && j > 1
                && a.charAt(i - 1) == b.charAt(j - 2)
                && a.charAt(i - 2) == b.charAt(j - 1);
        if (swapped) {
          d[i][j] = Math.min(d[i][j], d[i - 2][j - 2] + 1);
        }
      }
    }
    return d[a.length()][b.length()];
  }
}
