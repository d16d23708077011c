package stoplog.dsl.kinds;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.kinds.Kind.Answer;
import stoplog.dsl.kinds.Kind.Behaviour;
import stoplog.dsl.kinds.Kind.Commanded;
import stoplog.dsl.kinds.Kind.Driven;
import stoplog.dsl.kinds.Kind.Mode;
import stoplog.dsl.kinds.Kind.Motion;
import stoplog.dsl.kinds.Kind.Test;

/**
 * How a piece of equipment of a kind moves, with the time windows that its plant states. A motion
 * without one takes no time: nothing ever stands in its position.
 */
public final class Moves {
  /** Every combination of commands and drives is looked at. */
  public static final int MAX_SETTINGS = 256;

  private final Kind kind;
  private final Set<String> windows;

  /**
   * @param windows the windows the plant states
   */
  public Moves(Kind kind, Set<String> windows) {
    this.kind = kind;
    this.windows = Set.copyOf(windows);
  }

  /**
   * What is wanted of it at a moment.
   *
   * @param commands the value of each command
   * @param drives bit d if drive d holds
   */
  public record Setting(List<Integer> commands, long drives) {
    public Setting {
      commands = List.copyOf(commands);
    }

    public boolean keepsTo(Test test) {
      return switch (test) {
        case Commanded c ->
            c.commands().stream().allMatch(i -> commands.get(i) == c.value()) != c.negated();
        case Driven d -> ((drives >>> d.drive() & 1) != 0) != d.negated();
      };
    }

    public boolean keepsTo(Mode mode) {
      return mode.tests().stream().allMatch(this::keepsTo);
    }
  }

  /** How many settings a kind with these commands and drives has; a large number may be cut off. */
  public static long countSettings(List<Kind.Command> commands, int drives) {
    long count = 1L << Math.min(drives, 20);
    for (Kind.Command c : commands) {
      count = Math.min(1 << 20, count * c.words().size());
    }
    return count;
  }

  /** All settings, those with a behaviour's command or drive as it says; all if it says nothing. */
  public List<Setting> settings(@Nullable Test as) {
    List<Setting> all = List.of(new Setting(List.of(), 0));
    for (Kind.Command c : kind.commands()) {
      var longer = new ArrayList<Setting>();
      for (Setting s : all) {
        for (int v = 0; v < c.words().size(); v++) {
          var values = new ArrayList<>(s.commands());
          values.add(v);
          longer.add(new Setting(values, 0));
        }
      }
      all = longer;
    }
    var settings = new ArrayList<Setting>();
    for (Setting s : all) {
      for (long d = 0; d < 1L << kind.drives().size(); d++) {
        var setting = new Setting(s.commands(), d);
        if (as == null || setting.keepsTo(as)) {
          settings.add(setting);
        }
      }
    }
    return settings;
  }

  /** The answers of the first mode that applies. */
  public List<Answer> answers(Setting setting) {
    for (Mode m : kind.modes()) {
      if (setting.keepsTo(m)) {
        return m.answers();
      }
    }
    return List.of();
  }

  /** Each list of answers that applies in one of the settings, once. */
  public Set<List<Answer>> answers(List<Setting> settings) {
    var different = new java.util.LinkedHashSet<List<Answer>>();
    settings.forEach(s -> different.add(answers(s)));
    return different;
  }

  /** Each list of answers that can apply with this behaviour. */
  public Set<List<Answer>> answers(Behaviour behaviour) {
    return behaviour.as() == null ? Set.of(kind.stays()) : answers(settings(behaviour.as()));
  }

  /** Where it is at once after it has got here: past all motions that take no time; -1 if never. */
  public int settle(int position) {
    int at = position;
    for (int steps = 0; steps <= kind.positions().size(); steps++) {
      Motion motion = kind.motion(at);
      if (motion == null || windows.contains(motion.window())) {
        return at;
      }
      at = motion.end();
    }
    return -1;
  }

  /** Where it is at once from here while these answers apply; -1 if it would never stop. */
  public int next(List<Answer> answers, int from) {
    int at = from;
    for (int steps = 0; steps <= kind.positions().size(); steps++) {
      int to = answer(answers, at);
      if (to < 0) {
        return at;
      }
      at = settle(to);
      if (at < 0) {
        return -1;
      }
    }
    return -1;
  }

  private static int answer(List<Answer> answers, int from) {
    for (Answer a : answers) {
      if ((a.from() >>> from & 1) != 0) {
        return a.to();
      }
    }
    return -1;
  }

  /** The positions it can ever take while one of these lists of answers applies at any moment. */
  public long reached(long starts, Set<List<Answer>> possible) {
    long reached = starts;
    long before;
    do {
      before = reached;
      for (int p = 0; p < kind.positions().size(); p++) {
        if ((before >>> p & 1) == 0) {
          continue;
        }
        for (List<Answer> answers : possible) {
          reached |= bit(next(answers, p));
        }
        Motion motion = kind.motion(p);
        reached |= motion == null ? 0 : bit(settle(motion.end()));
      }
    } while (reached != before);
    return reached;
  }

  /** Where it can stand still: in some setting nothing moves it. */
  public long rests() {
    long rests = 0;
    for (List<Answer> answers : answers(settings(null))) {
      rests |= stills(answers);
    }
    return rests;
  }

  /** Where it stands still while these answers apply. */
  public long stills(List<Answer> answers) {
    long stills = 0;
    for (int p = 0; p < kind.positions().size(); p++) {
      stills |= kind.motion(p) == null && next(answers, p) == p ? 1L << p : 0;
    }
    return stills;
  }

  /**
   * A position from which it would go on and on in no time, or come back to at the very moment it
   * leaves it, so that its clock would not begin anew; -1 if there is none.
   */
  public int endless() {
    Set<List<Answer>> all = answers(settings(null));
    all.add(kind.stays());
    all.add(List.of());
    for (int p = 0; p < kind.positions().size(); p++) {
      for (List<Answer> answers : all) {
        Motion motion = kind.motion(p);
        int settled = settle(p);
        boolean stands = settled == p;
        int end = motion == null || !stands ? p : settle(motion.end());
        boolean again = motion != null && stands && (end < 0 || next(answers, end) == p);
        if (settled < 0 || (stands && next(answers, p) < 0) || again) {
          return p;
        }
      }
    }
    return -1;
  }

  private static long bit(int position) {
    return position < 0 ? 0 : 1L << position;
  }
}
