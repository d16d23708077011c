package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Expression.Relation;

/**
 * The values of one gauge, cut into the bands that its comparisons can tell apart.
 *
 * <p>A cut lies just before or just after a value, so that {@code < 20} and {@code <= 20} cut at
 * two places and leave the single value 20 as a band of its own between them. Band 0 is the lowest;
 * band b lies between cut b-1 and cut b. Values are in the base unit.
 */
public final class Bands {
  /**
   * @param after just after the value, otherwise just before it
   */
  public record Cut(Ratio value, boolean after) implements Comparable<Cut> {
    /** The cut that tells whether a relation to this value holds. */
    public static Cut of(Relation relation, Ratio value) {
      return new Cut(value, relation == Relation.AT_MOST || relation == Relation.ABOVE);
    }

    @Override
    public int compareTo(Cut other) {
      int byValue = value.compareTo(other.value);
      return byValue != 0 ? byValue : Boolean.compare(after, other.after);
    }
  }

  private final List<Cut> cuts;
  private final @Nullable Ratio least;
  private final @Nullable Ratio most;

  /**
   * @param least no value is below this; {@code null} if unbounded
   * @param most no value is above this; {@code null} if unbounded
   */
  Bands(TreeSet<Cut> all, @Nullable Ratio least, @Nullable Ratio most) {
    var kept = new ArrayList<Cut>();
    for (Cut c : all) {
      boolean tells =
          (least == null || c.compareTo(new Cut(least, false)) > 0)
              && (most == null || c.compareTo(new Cut(most, true)) < 0);
      if (tells) {
        kept.add(c);
      }
    }
    this.cuts = Collections.unmodifiableList(kept);
    this.least = least;
    this.most = most;
  }

  public int count() {
    return cuts.size() + 1;
  }

  /** The cut between this band and the next higher one. */
  public Cut above(int band) {
    return cuts.get(band);
  }

  /** Bit b for each band b in which the relation to the value holds. At most 64 bands. */
  public long where(Relation relation, Ratio value) {
    long below = below(Cut.of(relation, value));
    boolean lower = relation == Relation.BELOW || relation == Relation.AT_MOST;
    return lower ? below : all() & ~below;
  }

  /** The bands that lie below a cut, which is one of the cuts or outside the span. */
  public long below(Cut cut) {
    if (most != null && cut.compareTo(new Cut(most, true)) >= 0) {
      return all();
    }
    int count = 0;
    while (count < cuts.size() && cuts.get(count).compareTo(cut) <= 0) {
      count++;
    }
    return count == 0 ? 0 : -1L >>> (64 - count);
  }

  /** All bands as bits. */
  public long all() {
    return -1L >>> (64 - count());
  }

  /** The band that holds this value. */
  public int of(Ratio value) {
    int band = 0;
    while (band < cuts.size() && cuts.get(band).compareTo(new Cut(value, true)) < 0) {
      band++;
    }
    return band;
  }

  /** How far apart the ends of a band are; both must be known. */
  public Ratio width(int band) {
    Ratio low = band == 0 ? least : cuts.get(band - 1).value();
    Ratio high = band == cuts.size() ? most : cuts.get(band).value();
    if (low == null || high == null) {
      throw new IllegalStateException("band " + band + " has no end");
    }
    return high.minus(low);
  }

  /** A band in words: {@code "below 20 %"}, {@code "20..80 %"}, {@code "at 20 %"}. */
  public String name(int band, Unit unit) {
    if (cuts.isEmpty()) {
      return "any value";
    } else if (band == 0) {
      return (cuts.getFirst().after() ? "up to " : "below ")
          + value(cuts.getFirst(), unit)
          + " "
          + unit;
    } else if (band == cuts.size()) {
      return (cuts.getLast().after() ? "above " : "from ")
          + value(cuts.getLast(), unit)
          + " "
          + unit;
    }
    String low = value(cuts.get(band - 1), unit);
    String high = value(cuts.get(band), unit);
    return low.equals(high) ? "at " + low + " " + unit : low + ".." + high + " " + unit;
  }

  private static String value(Cut cut, Unit unit) {
    return unit.fromBase(cut.value()).toString();
  }
}
