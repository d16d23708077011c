package stoplog.plants.bench;

import java.nio.file.Path;
import java.time.Duration;
import java.util.Objects;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Family;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.diag.TextRenderer;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;
import stoplog.source.SourceFile;

/** Reads and decides for the benchmarks, in one thread. */
final class Plants {
  private Plants() {}

  static Model read(String text) {
    return model(PlantReader.read(new SourceFile("bench.plant", text)));
  }

  static Model read(Path directory) {
    return model(PlantReader.read(directory));
  }

  private static Model model(Reading reading) {
    return Objects.requireNonNull(
        reading.model(), () -> new TextRenderer(false).render(reading.diagnostics()));
  }

  static Budget budget(int seconds) {
    return new Budget(20_000_000, Runtime.getRuntime().maxMemory() / 2, Duration.ofSeconds(seconds));
  }

  /** With the verdict of another claim of the family, if that is carried over. */
  static Verdict decide(Reads reads, Family family, Claim claim, int seconds) {
    Family.Carried over = family.carriedOver(claim);
    if (over != null) {
      return over.verdict();
    }
    Decider.Decision decision =
        Decider.decideRecorded(reads, claim, false, budget(seconds), Progress.NONE);
    family.add(claim, decision);
    return decision.verdict();
  }

  static Verdict decide(Reads reads, Claim claim, int seconds) {
    return Decider.decide(reads, claim, budget(seconds), Progress.NONE);
  }
}
