package stoplog.checker.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.Budget;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.report.Answer;
import stoplog.checker.report.Story;
import stoplog.checker.report.StoryTeller;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * Decides claims one after the other, and always has an answer for each: a claim that was not reached
 * before the user lost patience, memory ran out or something broke is undecided, with the reason.
 *
 * <p>Nothing is believed that the reference interpreter has not followed: a found run that does not
 * replay is an internal error and its claim stays undecided.
 *
 * <p>{@link #answers} may be called from another thread while {@link #run} is under way.
 */
final class Deciding {
  private static final Verdict.Effort NONE = new Verdict.Effort(0, 0, 0, 0);

  private final Model model;
  private final List<Claim> claims;
  private final List<Answer> decided = new ArrayList<>();
  private @Nullable Throwable broken;

  Deciding(Model model, List<Claim> claims) {
    this.model = model;
    this.claims = List.copyOf(claims);
  }

  void run(
      Function<Model, Engine> engines, boolean whole, Budget budget, ProgressLine progress) {
    Engine engine = engines.apply(model);
    for (Claim claim : claims) {
      if (progress.stopped()) {
        return;
      }
      Answer answer = decide(engine, claim, whole, budget, progress);
      synchronized (decided) {
        decided.add(answer);
      }
    }
  }

  private Answer decide(
      Engine engine, Claim claim, boolean whole, Budget budget, ProgressLine progress) {
    try {
      Verdict verdict = engine.decide(claim, whole, budget, progress);
      if (verdict instanceof Verdict.Undecided u && progress.stopped()) {
        verdict = new Verdict.Undecided("interrupted", u.covered(), u.kept(), u.effort());
      }
      return new Answer(claim, verdict, story(claim, verdict));
    } catch (OutOfMemoryError _) {
      // The tables of the search are garbage now, so the next claim starts afresh.
      return undecided(claim, "out of memory");
    } catch (RuntimeException | AssertionError | StackOverflowError e) {
      if (broken == null) {
        broken = e;
      }
      return undecided(claim, "internal error");
    } finally {
      progress.clear();
    }
  }

  private @Nullable Story story(Claim claim, Verdict verdict) {
    if (!(verdict instanceof Verdict.Reached reached)) {
      return null;
    }
    return switch (Replay.run(model, claim, reached.trace())) {
      case Replayed.Valid valid -> StoryTeller.tell(model, claim, reached, valid);
      case Replayed.Invalid(int step, String reason) ->
          throw new IllegalStateException(
              "the run found for " + claim.id() + " fails at step " + step + ": " + reason);
    };
  }

  /** One answer for each claim, the undecided included. */
  List<Answer> answers() {
    List<Answer> answers;
    synchronized (decided) {
      answers = new ArrayList<>(decided);
    }
    while (answers.size() < claims.size()) {
      answers.add(undecided(claims.get(answers.size()), "interrupted"));
    }
    return answers;
  }

  /** The first thing that went wrong inside, or null. */
  @Nullable Throwable broken() {
    return broken;
  }

  private static Answer undecided(Claim claim, String reason) {
    return new Answer(claim, new Verdict.Undecided(reason, 0, List.of(), NONE), null);
  }
}
