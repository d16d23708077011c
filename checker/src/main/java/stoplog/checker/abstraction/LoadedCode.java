package stoplog.checker.abstraction;

import java.lang.invoke.MethodHandles;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * The classes of compiled steps loaded last, by their class files: equal systems have equal ones, and a
 * class that has been run is fast from its first call on. Safe for several threads.
 */
final class LoadedCode {
  /** A class file takes up to some hundred KiB, and its class as much again. */
  private static final int MOST = 16;

  private static final Map<File, StepCode> LATEST =
      new LinkedHashMap<>(MOST, 0.75f, true) {
        private static final long serialVersionUID = 1;

        @Override
        protected boolean removeEldestEntry(Map.Entry<File, StepCode> eldest) {
          return size() > MOST;
        }
      };

  private LoadedCode() {}

  /** The bytes of a class file. Never changed. */
  private record File(byte[] bytes) {
    @Override
    public boolean equals(@Nullable Object other) {
      return other instanceof File(byte[] o) && Arrays.equals(bytes, o);
    }

    @Override
    public int hashCode() {
      return Arrays.hashCode(bytes);
    }
  }

  /** @param classFile not written to by the caller afterwards */
  static StepCode of(byte[] classFile) {
    synchronized (LATEST) {
      return LATEST.computeIfAbsent(new File(classFile), f -> load(f.bytes()));
    }
  }

  private static StepCode load(byte[] classFile) {
    try {
      var lookup = MethodHandles.lookup().defineHiddenClass(classFile, true);
      var constructor = lookup.lookupClass().getDeclaredConstructor();
      constructor.setAccessible(true);
      return (StepCode) constructor.newInstance();
    } catch (ReflectiveOperationException e) {
      throw new IllegalStateException("the code of a system's steps does not load", e);
    }
  }
}
