package stoplog.checker.store;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/** A growing list of objects that grows by segments, as {@link Column} does. */
public final class References<T> {
  private static final int SEGMENT_BITS = 14;
  private static final int IN_SEGMENT = (1 << SEGMENT_BITS) - 1;
  private static final int FIRST = 64;

  private @Nullable Object[] @Nullable [] segments = new Object[1][FIRST];
  private int size;

  public int size() {
    return size;
  }

  @SuppressWarnings("unchecked")
  public @Nullable T get(int index) {
    return (T) segments[index >> SEGMENT_BITS][index & IN_SEGMENT];
  }

  public void set(int index, @Nullable T value) {
    segments[index >> SEGMENT_BITS][index & IN_SEGMENT] = value;
  }

  public void add(@Nullable T value) {
    int segment = size >> SEGMENT_BITS;
    if (segment == segments.length) {
      segments = Arrays.copyOf(segments, segment * 2);
    }
    if (segments[segment] == null) {
      segments[segment] = new Object[1 << SEGMENT_BITS];
    } else if ((size & IN_SEGMENT) == segments[segment].length) {
      segments[segment] = Arrays.copyOf(segments[segment], segments[segment].length * 2);
    }
    set(size++, value);
  }

  /** Makes every entry null. */
  public void clear() {
    for (Object[] segment : segments) {
      if (segment != null) {
        Arrays.fill(segment, null);
      }
    }
  }

  /** Bytes of the references now held, at eight each. */
  public long bytes() {
    return 8L * Math.max(size + Math.min(size, 1 << SEGMENT_BITS), FIRST);
  }
}
