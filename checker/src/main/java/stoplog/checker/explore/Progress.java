package stoplog.checker.explore;

/** Watches a question being decided, and may call it off. Called from the deciding thread. */
public interface Progress {
  /** Sees nothing and never stops. */
  Progress NONE =
      new Progress() {
        @Override
        public void at(String claim, int level, long states, int kept) {}

        @Override
        public boolean stopped() {
          return false;
        }
      };

  /**
   * Called every few thousand states.
   *
   * @param level steps from the start of the run
   * @param states discrete states stored by the search under way
   * @param kept variables it keeps
   */
  void at(String claim, int level, long states, int kept);

  /** Whether the question is to be given up, with the verdict "undecided". */
  boolean stopped();

  /**
   * How many further threads may help the calling one just now. What is found does not depend on it.
   */
  default int spareThreads() {
    return 0;
  }

  /** How many nodes must be left in a level for other threads to be called. */
  default int worthSharing() {
    return 512;
  }
}
