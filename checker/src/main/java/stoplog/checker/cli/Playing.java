package stoplog.checker.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import stoplog.checker.report.Answer;
import stoplog.checker.report.Played;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Scenario;
import stoplog.model.Verdict;

/** Plays scenarios, one after the other; the questions of each are decided side by side. */
final class Playing {
  private static final Verdict.Effort NONE = new Verdict.Effort(0, 0, 0, 0);

  private final List<Scenario> scenarios;
  private final Deciding.Wishes wishes;
  private final List<Played> played = new ArrayList<>();
  private @Nullable Throwable broken;

  Playing(List<Scenario> scenarios, Deciding.Wishes wishes) {
    this.scenarios = List.copyOf(scenarios);
    this.wishes =
        new Deciding.Wishes(
            wishes.whole(), wishes.budget(), wishes.threads(), false, false, false,
            wishes.total(), null);
  }

  void run(Function<Model, Engine> engines, ProgressLine progress) {
    for (Scenario s : scenarios) {
      if (progress.stopped() || wishes.total().over()) {
        return;
      }
      Played one = play(s, engines, progress);
      synchronized (this) {
        played.add(one);
      }
    }
  }

  /** What is to be seen is asked only where the course has not told enough. */
  private Played play(Scenario s, Function<Model, Engine> engines, ProgressLine progress) {
    Engine engine = engines.apply(s.model());
    Answer course = decide(s, List.of(s.course()), engine, progress).getFirst();
    boolean taken = course.verdict() instanceof Verdict.Reached;
    boolean open = course.verdict() instanceof Verdict.Undecided;
    boolean enough = open || taken != s.certain();
    return new Played(
        s, course, enough ? List.of() : decide(s, s.seen(), engine, progress));
  }

  private List<Answer> decide(
      Scenario s, List<Claim> claims, Engine engine, ProgressLine progress) {
    var deciding = new Deciding(s.model(), claims, wishes);
    deciding.run(engine, progress);
    Throwable fault = deciding.broken();
    synchronized (this) {
      broken = broken == null ? fault : broken;
    }
    return deciding.answers();
  }

  /** One for each scenario in their order, those not reached included. */
  synchronized List<Played> played() {
    var all = new ArrayList<>(played);
    for (Scenario s : scenarios.subList(played.size(), scenarios.size())) {
      String why = wishes.total().over() ? TotalTime.USED_UP : "interrupted";
      var notReached = new Verdict.Undecided(why, 0, List.of(), NONE);
      all.add(new Played(s, new Answer(s.course(), notReached, null), List.of()));
    }
    return all;
  }

  /** What went wrong inside, first, or null. */
  synchronized @Nullable Throwable broken() {
    return broken;
  }
}
