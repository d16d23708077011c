package stoplog.dsl.kinds;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * A kind of equipment, as a table.
 *
 * <p>Sets of positions are bit sets: bit p for position p. Sets of faults likewise.
 *
 * @param word what a plant text calls it ({@code valve})
 * @param text what a person calls it; empty for its word
 * @param commands what the logic can want of it; none if only the process moves it
 * @param drives what of the process moves it: conditions that the plant states
 * @param positions what each position is called when told to a person; not necessarily distinct
 * @param predicates what can be said of it after {@code is}
 * @param feedbacks the predicates that a feedback can prove, with the letters such a tag begins
 *     with
 * @param windows the time windows a plant may state for it
 * @param modes how it answers its commands and drives: the first that applies; where none does, it
 *     stays at rest or goes on with its motion
 * @param stays where it goes when it is left to itself or stopped
 * @param motions positions that it leaves by itself, after a time
 * @param fails its choice of what it does without power, the first if the plant does not say; empty
 *     for no choice
 * @param unpowered what it does without power if there is no choice; {@code null} if it only loses
 *     its commands
 * @param starts the positions it may start in, unless its fail position says so
 * @param faults what may go wrong with it
 * @param suggestions what a reader may take its commands for
 * @param ports its connections, where a pipe may end at one of them; empty for two plain ends
 * @param passages what lets a fluid through in which positions; never empty
 * @param pumps the positions in which it gives a flow to what passes through it; 0 for none
 */
public record Kind(
    String word,
    String text,
    List<Command> commands,
    List<Drive> drives,
    List<String> positions,
    Map<String, Said> predicates,
    Map<String, String> feedbacks,
    List<String> windows,
    List<Mode> modes,
    List<Answer> stays,
    List<Motion> motions,
    List<Fail> fails,
    @Nullable Behaviour unpowered,
    long starts,
    List<Fault> faults,
    List<Suggestion> suggestions,
    List<String> ports,
    List<Passage> passages,
    long pumps) {
  public Kind {
    commands = List.copyOf(commands);
    drives = List.copyOf(drives);
    positions = List.copyOf(positions);
    predicates = new LinkedHashMap<>(predicates);
    feedbacks = new LinkedHashMap<>(feedbacks);
    windows = List.copyOf(windows);
    modes = List.copyOf(modes);
    stays = List.copyOf(stays);
    motions = List.copyOf(motions);
    fails = List.copyOf(fails);
    faults = List.copyOf(faults);
    suggestions = List.copyOf(suggestions);
    ports = List.copyOf(ports);
    passages = List.copyOf(passages);
  }

  /**
   * @param verb what the logic says to command it ({@code open})
   * @param words what the command is called at 0, 1, ...; at least two. Only the word of 0 may be
   *     that of another command too
   */
  public record Command(String verb, List<String> words) {
    public Command {
      words = List.copyOf(words);
    }
  }

  /** A condition of the process that moves it, under a name of the kind's. */
  public record Drive(String name, String text) {}

  /**
   * What is true of a piece of equipment in these positions, or while it has one of these faults.
   */
  public record Said(long positions, long faults) {}

  /** What a mode asks of the commands and drives. */
  public sealed interface Test {
    boolean negated();
  }

  /** Each of these commands has this value; several only for the word of 0 that they share. */
  public record Commanded(List<Integer> commands, int value, boolean negated) implements Test {
    public Commanded {
      commands = List.copyOf(commands);
    }
  }

  /** This drive holds. */
  public record Driven(int drive, boolean negated) implements Test {}

  /** Where it goes while all the tests hold. */
  public record Mode(List<Test> tests, List<Answer> answers) {
    public Mode {
      tests = List.copyOf(tests);
      answers = List.copyOf(answers);
    }
  }

  /**
   * In the positions {@code from}, it goes to {@code to} at once. If {@code to} is a motion whose
   * window the plant does not state, it goes on to the end of that motion.
   */
  public record Answer(long from, int to) {}

  /**
   * It leaves position {@code during} for {@code end} within a window from when it got there.
   *
   * @param window which of the kind's windows
   * @param fresh whether the window's lower end counts; not where the motion may begin half-way
   * @param text what happens then, as told behind the tag
   */
  public record Motion(int during, int end, String window, boolean fresh, String text) {}

  /**
   * What it does in spite of its commands and drives.
   *
   * @param as it acts as if this held; {@code null} if it stops or is left to itself
   */
  public record Behaviour(@Nullable Test as) {}

  /**
   * What it does without power.
   *
   * @param words as stated behind {@code fails}
   * @param starts the positions it may start in
   */
  public record Fail(String words, Behaviour behaviour, long starts) {}

  /**
   * @param text what happens, as told behind the tag ({@code sticks})
   * @param strikes the positions in which it may strike
   */
  public record Fault(String name, String text, Behaviour behaviour, long strikes) {}

  /** Who sees this command at this value may take the equipment to be in one of the positions. */
  public record Suggestion(int command, int value, long positions) {}

  /**
   * A way through it.
   *
   * @param from the port at which it begins; {@code null} for that end of a two-ended piece to which
   *     the pipe text comes first
   * @param to the port at which it ends; {@code null} exactly if {@code from} is
   * @param bothWays whether it passes from {@code to} to {@code from} too
   * @param positions the positions in which it passes, as far as is known
   * @param unless whether the text names those in which it does not pass, and so leaves open what it
   *     does on its way
   */
  public record Passage(
      @Nullable String from,
      @Nullable String to,
      boolean bothWays,
      long positions,
      boolean unless) {}

  /**
   * The positions in which fluid is sure to pass. Where two ways are each said to pass {@code unless}
   * the other does, it is not known which of them does on the way from one to the other, nor whether
   * any does.
   */
  public long surelyPasses(Passage passage) {
    long sure = passage.positions();
    for (Passage other : passages) {
      if (passage.unless() && other.unless() && !other.equals(passage)) {
        sure &= ~other.positions();
      }
    }
    return sure;
  }

  /** Whether a plant has a choice of what happens without power. */
  public boolean statesFail() {
    return !fails.isEmpty();
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

  /** The command with this verb, or -1. */
  public int command(String verb) {
    for (int c = 0; c < commands.size(); c++) {
      if (commands.get(c).verb().equals(verb)) {
        return c;
      }
    }
    return -1;
  }

  /** What the command with this verb is called at 0, 1, ...; empty if there is no such command. */
  public List<String> words(String verb) {
    int c = command(verb);
    return c < 0 ? List.of() : commands.get(c).words();
  }

  /** The commands that a word names: one, or several that share it at 0; empty if none does. */
  public List<Integer> commandsCalled(String word) {
    var called = new ArrayList<Integer>();
    for (int c = 0; c < commands.size(); c++) {
      if (commands.get(c).words().contains(word)) {
        called.add(c);
      }
    }
    return called;
  }

  /** What is commonly said of it: its predicates without the bare names of its faults. */
  public List<String> sayable() {
    List<String> bare = faultNames();
    return predicates.keySet().stream().filter(p -> !bare.contains(p)).toList();
  }

  /** Every word of every command, each once. */
  public List<String> commandWords() {
    return commands.stream().flatMap(c -> c.words().stream()).distinct().toList();
  }

  /** The names of its faults. The value f + 1 of its fault variable is that of fault f. */
  public List<String> faultNames() {
    return faults.stream().map(Fault::name).toList();
  }

  /** "a valve"; its text where its word is put together from several. */
  public String withArticle() {
    String called = text.isEmpty() || word.indexOf('_') < 0 ? word.replace('_', ' ') : text;
    return ("aeiou".indexOf(called.charAt(0)) >= 0 ? "an " : "a ") + called;
  }
}
