package stoplog.checker.report;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Claim;
import stoplog.model.Scenario;
import stoplog.model.Verdict;

/**
 * A scenario and what became of it.
 *
 * @param course the answer about its course
 * @param seen the answers about what is to be seen, in the order of time; none where the course alone
 *     tells enough
 */
public record Played(Scenario scenario, Answer course, List<Answer> seen) {
  public Played {
    seen = List.copyOf(seen);
  }

  /** How a scenario came out, in the words shown to a person and in JSON. */
  public enum Outcome {
    PASSES("passes"),
    FAILS("fails"),
    UNDECIDED("undecided");

    private final String word;

    Outcome(String word) {
      this.word = word;
    }

    public String word() {
      return word;
    }
  }

  public Outcome outcome() {
    if (course.verdict() instanceof Verdict.Undecided) {
      return Outcome.UNDECIDED;
    }
    if (course.standing() == Standing.BROKEN || failed() != null) {
      return Outcome.FAILS;
    }
    boolean open = seen.stream().anyMatch(a -> a.verdict() instanceof Verdict.Undecided);
    return scenario.certain() && open ? Outcome.UNDECIDED : Outcome.PASSES;
  }

  /** The first thing that is not seen, or {@code null} if that is not known or there is none. */
  public @Nullable Answer failed() {
    for (Answer a : seen) {
      if (a.standing() == Standing.BROKEN) {
        return a;
      }
      if (!scenario.certain() && a.standing() == Standing.UNDECIDED) {
        return null;
      }
    }
    return null;
  }

  /** Why it fails or is undecided, a sentence without full stop; empty if it passes. */
  public String reason() {
    Answer failed = failed();
    return switch (outcome()) {
      case PASSES -> "";
      case UNDECIDED -> undecided();
      case FAILS -> {
        if (failed == null && (scenario.certain() || scenario.seen().isEmpty())) {
          yield "no start of the plant is as given, so nothing is shown";
        }
        if (failed == null) {
          yield "no run shows all of it";
        }
        Claim look = failed.claim();
        yield "\"" + look.text() + "\": "
            + (scenario.certain()
                ? "some run does not show it"
                : failed == seen.getFirst()
                    ? "no run shows it"
                    : "no run that has shown all before shows it");
      }
    };
  }

  private String undecided() {
    if (course.verdict() instanceof Verdict.Undecided u) {
      return u.reason();
    }
    for (Answer a : seen) {
      if (a.verdict() instanceof Verdict.Undecided u) {
        return "\"" + a.claim().text() + "\": " + u.reason();
      }
    }
    return "";
  }

  /**
   * The run to tell of a failure: for a certain scenario one that does not show what it must; for a
   * possible one the furthest that a run gets, if it gets anywhere.
   */
  public @Nullable Story story() {
    Answer failed = failed();
    if (outcome() != Outcome.FAILS || failed == null) {
      return null;
    }
    if (scenario.certain()) {
      return failed.story();
    }
    int at = seen.indexOf(failed);
    return at == 0 ? null : seen.get(at - 1).story();
  }
}
