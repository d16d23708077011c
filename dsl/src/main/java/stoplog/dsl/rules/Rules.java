package stoplog.dsl.rules;

import java.util.List;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.tree.PlantTree;

/** All rules. */
public final class Rules {
  private static final List<Rule> ALL =
      List.of(
          new CommandedOnce(),
          new EverythingCommanded(),
          new HandNotCommanded(),
          new RightVerb(),
          new TripsHaveReset(),
          new TrippedHasTrips(),
          new BlockedHasInterlocks(),
          new SomethingDemands(),
          new StepsConnected(),
          new FailPositionStated(),
          new NoCircle(),
          new ReadAfterWritten(),
          new FewMovements(),
          new FewBands(),
          new TimesFit(),
          new HazardOnTruth(),
          new PowerCanFail(),
          new ClaimsSomething());

  private Rules() {}

  public static void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    for (Rule rule : ALL) {
      rule.check(tree, plant, diagnostics);
    }
  }
}
