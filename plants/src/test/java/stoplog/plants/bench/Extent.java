package stoplog.plants.bench;

/**
 * How much is measured: little, to see that the benchmarks run, or all.
 *
 * @param full whether figures are wanted; else a run of about a minute on a machine that does nothing else
 * @param tags of the large works
 * @param solverMillis after which the solver gives up on a claim
 * @param claimSeconds after which a claim counts as undecided
 * @param worksMinutes after which no more claims of the large works are decided
 */
record Extent(boolean full, int tags, int solverMillis, int claimSeconds, int worksMinutes) {
  static Extent named(String name) {
    return switch (name) {
      case "full" ->
          new Extent(
              true,
              Integer.getInteger("benchmarks.tags", 10_000),
              Integer.getInteger("benchmarks.solver", 5_000),
              Integer.getInteger("benchmarks.claim", 10),
              Integer.getInteger("benchmarks.works", 30));
      case "quick" -> new Extent(false, 150, 200, 1, 1);
      default -> throw new IllegalArgumentException("benchmarks full or quick, not " + name);
    };
  }
}
