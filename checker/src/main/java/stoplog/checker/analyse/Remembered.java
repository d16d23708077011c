package stoplog.checker.analyse;

import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.Precedent;

/** Proofs of earlier runs about the plant itself, and a place for those of this run. */
public interface Remembered {
  /** Knows nothing and keeps nothing. */
  Remembered NOTHING =
      new Remembered() {
        @Override
        public Precedent.@Nullable Proof proofOf(String what) {
          return null;
        }

        @Override
        public void put(String what, Precedent.Proof proof) {}

        @Override
        public boolean isKept() {
          return false;
        }
      };

  /** What a proof stood on; whether it stands is for whoever asks to find out. Null if there was none. */
  Precedent.@Nullable Proof proofOf(String what);

  /** Makes known that this is proved of the plant as it is. */
  void put(String what, Precedent.Proof proof);

  /** Whether it is of any use to make something known. */
  boolean isKept();
}
