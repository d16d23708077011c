package stoplog.plants.bench;

/** One part of the benchmarks, in a process of its own: without assertions, with its own limit of memory. */
final class BenchmarkParts {
  private BenchmarkParts() {}

  /** The names of the parts, in the order of the table. */
  static final String[] ALL = {"untimed", "alarms", "trains", "works", "edit", "threads", "solver"};

  public static void main(String[] arguments) throws Exception {
    var report = new Report(System.out);
    Extent extent = Extent.named(arguments[1]);
    switch (arguments[0]) {
      case "untimed" -> AgainstC.run(report, extent);
      case "alarms" -> SideBySide.alarms(report, extent);
      case "trains" -> SideBySide.trains(report, extent);
      case "works" -> LargeWorks.run(report, extent);
      case "edit" -> AfterAnEdit.run(report, extent);
      case "threads" -> TwoThreads.run(report, extent);
      case "solver" -> AgainstSolver.run(report, extent);
      default -> throw new IllegalArgumentException(arguments[0]);
    }
  }
}
