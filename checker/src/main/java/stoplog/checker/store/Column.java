package stoplog.checker.store;

import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteOrder;
import java.util.Arrays;

/**
 * A growing list of numbers from -1 up to a limit, in one, two or four bytes each.
 *
 * <p>It grows by segments, so that nothing is copied once the first is full and no more than one
 * segment stands empty.
 */
public final class Column {
  private static final int SEGMENT_BITS = 14;
  private static final int IN_SEGMENT = (1 << SEGMENT_BITS) - 1;
  private static final int FIRST = 64;
  private static final VarHandle SHORTS =
      MethodHandles.byteArrayViewVarHandle(short[].class, ByteOrder.nativeOrder());
  private static final VarHandle INTS =
      MethodHandles.byteArrayViewVarHandle(int[].class, ByteOrder.nativeOrder());

  private final int width;
  private byte[][] segments;
  private int size;
  private long bytes;

  /** @param limit no number is greater than or equal to this */
  public Column(int limit) {
    // Stored with 1 added, so that -1 is 0.
    this.width = limit < 1 << 8 ? 1 : limit < 1 << 16 ? 2 : 4;
    this.segments = new byte[1][FIRST * width];
    this.bytes = (long) FIRST * width;
  }

  public int size() {
    return size;
  }

  public int get(int index) {
    byte[] segment = segments[index >> SEGMENT_BITS];
    int at = index & IN_SEGMENT;
    int stored =
        switch (width) {
          case 1 -> segment[at] & 0xFF;
          case 2 -> (short) SHORTS.get(segment, at * 2) & 0xFFFF;
          default -> (int) INTS.get(segment, at * 4);
        };
    return stored - 1;
  }

  public void set(int index, int value) {
    byte[] segment = segments[index >> SEGMENT_BITS];
    int at = index & IN_SEGMENT;
    switch (width) {
      case 1 -> segment[at] = (byte) (value + 1);
      case 2 -> SHORTS.set(segment, at * 2, (short) (value + 1));
      default -> INTS.set(segment, at * 4, value + 1);
    }
  }

  public void add(int value) {
    int segment = size >> SEGMENT_BITS;
    if (segment == segments.length) {
      segments = Arrays.copyOf(segments, segment * 2);
    }
    int room = segments[segment] == null ? 0 : segments[segment].length;
    if ((size & IN_SEGMENT) * width == room) {
      int wider = segment > 0 ? width << SEGMENT_BITS : room * 2;
      segments[segment] =
          segment > 0 ? new byte[wider] : Arrays.copyOf(segments[segment], wider);
      bytes += wider - room;
    }
    set(size++, value);
  }

  /** Bytes now held. */
  public long bytes() {
    return bytes + 4L * segments.length;
  }
}
