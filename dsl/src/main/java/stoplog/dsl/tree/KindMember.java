package stoplog.dsl.tree;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/** A line of the description of a kind of equipment. States are words such as {@code at rest}. */
public sealed interface KindMember {
  Span span();

  /** {@code command open: closed, open}: the verb, and what the command is called at 0, 1, ... */
  record Command(Word verb, List<Word> words, Span span) implements KindMember {
    public Command {
      words = List.copyOf(words);
    }
  }

  /** {@code states closed, opening, open}. */
  record States(List<State> states, Span span) implements KindMember {
    public States {
      states = List.copyOf(states);
    }
  }

  /** {@code opening_again "opening"}: {@code text} is what a person is told, empty for its name. */
  record State(Word name, String text) {}

  /** {@code driven by forward "the flow pushes it open"}: conditions that a plant must state. */
  record DrivenBy(List<State> drives, Span span) implements KindMember {
    public DrivenBy {
      drives = List.copyOf(drives);
    }
  }

  /** {@code when commanded open and not stuck { from closed to opening }}. */
  record When(List<Mode> modes, List<Answer> answers, Span span) implements KindMember {
    public When {
      modes = List.copyOf(modes);
      answers = List.copyOf(answers);
    }
  }

  /** {@code stays { from opening to part_way }}: how it stops where it is. */
  record Stays(List<Answer> answers, Span span) implements KindMember {
    public Stays {
      answers = List.copyOf(answers);
    }
  }

  /** {@code commanded open}, or a drive, or one of these with {@code not} before it. */
  record Mode(boolean negated, boolean commanded, Word word, Span span) {}

  record Answer(List<Word> from, Word to, Span span) {
    public Answer {
      from = List.copyOf(from);
    }
  }

  /**
   * {@code opening takes travel, then open "open"}.
   *
   * @param upTo whether it may take any shorter time too
   * @param text what happens then, as told behind the tag; empty for the name of the state
   */
  record Motion(Word during, boolean upTo, Word window, Word then, String text, Span span)
      implements KindMember {}

  /** {@code is turning: starting, running, coasting}. */
  record Predicate(Word name, List<Word> states, Span span) implements KindMember {
    public Predicate {
      states = List.copyOf(states);
    }
  }

  /** {@code proves open ZSO}: one of the states in such a list, and how such a tag begins. */
  record Proof(Word state, Word letters, Span span) implements KindMember {}

  /** {@code fails open: as commanded open, starts open}. */
  record Fails(Word words, Behaviour behaviour, List<Word> starts, Span span)
      implements KindMember {
    public Fails {
      starts = List.copyOf(starts);
    }
  }

  /** {@code unpowered: as commanded off}. */
  record Unpowered(Behaviour behaviour, Span span) implements KindMember {}

  record Starts(List<Word> states, Span span) implements KindMember {
    public Starts {
      states = List.copyOf(states);
    }
  }

  /**
   * {@code fault welds "its contactor welds": as commanded on while turning}.
   *
   * @param strikes the states in which it may strike; empty for all
   */
  record Fault(Word name, String text, Behaviour behaviour, List<Word> strikes, Span span)
      implements KindMember {
    public Fault {
      strikes = List.copyOf(strikes);
    }
  }

  /**
   * What it does in spite of its command.
   *
   * @param as the mode it acts in; {@code null} if it stays where it is
   */
  record Behaviour(@Nullable Mode as, Span span) {}

  /** {@code commanded open suggests open}: what a reader may take its command for. */
  record Suggests(Word command, List<Word> states, Span span) implements KindMember {
    public Suggests {
      states = List.copyOf(states);
    }
  }

  record Ports(List<Word> ports, Span span) implements KindMember {
    public Ports {
      ports = List.copyOf(ports);
    }
  }

  /**
   * {@code passes both ways from common to drain unless closed}.
   *
   * @param from the port it passes from; {@code null} for a kind with two ends
   * @param whilst whether the states are those in which it passes; else those in which it does not
   */
  record Passes(
      boolean bothWays,
      @Nullable Word from,
      @Nullable Word to,
      boolean whilst,
      List<Word> states,
      Span span)
      implements KindMember {
    public Passes {
      states = List.copyOf(states);
    }
  }

  /** {@code pumps while turning}: when it gives what passes through it a flow. */
  record Pumps(List<Word> states, Span span) implements KindMember {
    public Pumps {
      states = List.copyOf(states);
    }
  }
}
