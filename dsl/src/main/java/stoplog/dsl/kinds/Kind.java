package stoplog.dsl.kinds;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * A kind of equipment, as a table.
 *
 * <p>Sets of positions are bit sets: bit p for position p.
 *
 * @param word what a plant text calls it ({@code valve})
 * @param verb what the logic says to command it ({@code open})
 * @param commands what its command is called when it is 0 and when it is 1
 * @param positions what each position is called when told to a person; not necessarily distinct
 * @param predicates what can be said of it after {@code is}, and in which positions that is true
 * @param feedbacks the predicates that a feedback can prove, with the letters such a tag begins
 *     with
 * @param windows the time windows a plant may state for it
 * @param answers how it answers what is wanted of it: the first that applies; none means that it
 *     stays
 * @param motions positions that it leaves by itself, after a time
 * @param fails what it does without power; the first if the plant does not say
 * @param commandStandsFor what a reader may take its command for
 * @param ports its connections, where a pipe may end at one of them; empty for two plain ends
 * @param passages what lets a fluid through in which positions; never empty
 * @param pumps the positions in which it gives a flow to what passes through it; 0 for none
 */
public record Kind(
    String word,
    String verb,
    List<String> commands,
    List<String> positions,
    Map<String, Long> predicates,
    Map<String, String> feedbacks,
    List<String> windows,
    List<Answer> answers,
    List<Motion> motions,
    List<Fail> fails,
    List<Long> commandStandsFor,
    List<String> ports,
    List<Passage> passages,
    long pumps) {
  public Kind {
    commands = List.copyOf(commands);
    positions = List.copyOf(positions);
    predicates = new LinkedHashMap<>(predicates);
    feedbacks = new LinkedHashMap<>(feedbacks);
    windows = List.copyOf(windows);
    answers = List.copyOf(answers);
    motions = List.copyOf(motions);
    fails = List.copyOf(fails);
    commandStandsFor = List.copyOf(commandStandsFor);
    ports = List.copyOf(ports);
    passages = List.copyOf(passages);
  }

  /** What is wanted of a piece of equipment at a moment. */
  public enum Wanted {
    /** As with the command at 0. */
    OFF,
    /** As with the command at 1. */
    ON,
    /** To stop where it is. */
    STAY
  }

  /**
   * In the positions {@code from}, it goes to {@code to} at once when this is wanted. If {@code to}
   * is a motion whose window the plant does not state, it goes to the end of that motion.
   */
  public record Answer(Wanted wanted, long from, int to) {}

  /**
   * It leaves position {@code during} for {@code end} within a window from when it got there.
   *
   * @param window which of the kind's windows
   * @param fresh whether the window's lower end counts; not after a reversal, which may have come
   *     at any moment of the motion before
   * @param text what happens then, as told behind the tag
   */
  public record Motion(int during, int end, String window, boolean fresh, String text) {}

  /**
   * What it does without power.
   *
   * @param words as stated behind {@code fails}; empty if a plant cannot state it
   * @param unpowered what is then wanted of it
   * @param start the positions it may start in
   */
  public record Fail(String words, Wanted unpowered, long start) {}

  /**
   * A way through it.
   *
   * @param from the port at which it begins; {@code null} for that end of a two-ended piece to which
   *     the pipe text comes first
   * @param to the port at which it ends; {@code null} exactly if {@code from} is
   * @param bothWays whether it passes from {@code to} to {@code from} too
   * @param positions the positions in which it passes
   */
  public record Passage(
      @Nullable String from, @Nullable String to, boolean bothWays, long positions) {}

  /** Whether a plant has a choice of what happens without power. */
  public boolean statesFail() {
    return fails.size() > 1;
  }

  /** The fail position of these words, or {@code null}. */
  public @Nullable Fail fail(String words) {
    for (Fail f : fails) {
      if (f.words().equals(words)) {
        return f;
      }
    }
    return null;
  }

  /** The motion that leaves this position, or {@code null} if it is a position at rest. */
  public @Nullable Motion motion(int position) {
    for (Motion m : motions) {
      if (m.during() == position) {
        return m;
      }
    }
    return null;
  }

  /** "a valve". */
  public String withArticle() {
    return ("aeiou".indexOf(word.charAt(0)) >= 0 ? "an " : "a ") + word;
  }
}
