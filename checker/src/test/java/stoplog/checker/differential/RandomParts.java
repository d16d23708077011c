package stoplog.checker.differential;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Clock;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/** The parts of a random model as far as they are drawn, numbered in that order. */
final class RandomParts {
  /** Most discrete states, reachable or not, that a model is given. */
  private static final long MOST_STATES = 3000;

  final List<Variable> variables = new ArrayList<>();
  final List<Definition> definitions = new ArrayList<>();
  final List<Clock> clocks = new ArrayList<>();
  final List<FieldChange> changes = new ArrayList<>();
  final List<Assignment> program = new ArrayList<>();
  final List<Assignment> reactions = new ArrayList<>();

  /** Whether bounds of time may be open. */
  final boolean openBounds;

  /** No time is longer. */
  final int longest;

  private final Random random;
  private long product = 1;

  RandomParts(Random random) {
    this.random = random;
    openBounds = random.nextInt(3) == 0;
    longest = openBounds ? 3 : 3 + random.nextInt(6);
  }

  /** Declares a variable, or answers -1 if the model has become too big for it. */
  int variable(String name, Role role, int size) {
    if (product * size > MOST_STATES && !variables.isEmpty()) {
      return -1;
    }
    product *= size;
    var words = new ArrayList<String>();
    for (int i = 0; i < size; i++) {
      words.add(Integer.toString(i));
    }
    long initial = 1;
    if (role == Role.PROCESS || role == Role.INSTRUMENT) {
      initial = 1L << random.nextInt(size);
      if (random.nextInt(3) == 0) {
        initial |= 1 + random.nextInt((1 << size) - 1);
      }
    } else if (role == Role.POWER) {
      initial = 2;
    }
    variables.add(new Variable(variables.size(), name, role, words, initial, "", Span.NONE));
    return variables.size() - 1;
  }

  /** Declares a truth value that the claim remembers, however big the model is. */
  int monitor(String name) {
    product = 1;
    return variable(name, Role.MONITOR, 2);
  }

  static Assignment set(int variable, int value) {
    return new Assignment(variable, new Expr.Constant(value));
  }

  int clock(Expr running, @Nullable Bound limit) {
    clocks.add(new Clock(clocks.size(), "c" + clocks.size(), running, limit, Span.NONE));
    return clocks.size() - 1;
  }

  /** From there to the clock's limit, mostly; or to some other time or for ever. */
  FieldChange.Timing window(int clock, int earliest) {
    Bound latest = clocks.get(clock).limit();
    boolean open = openBounds && random.nextInt(4) == 0;
    if (random.nextInt(4) == 0) {
      boolean openAfter = openBounds && random.nextInt(4) == 0;
      latest =
          random.nextBoolean()
              ? null
              : new Bound(earliest + random.nextInt(longest - earliest + 1), !openAfter);
    }
    return new FieldChange.Timing(clock, new Bound(earliest, !open), latest);
  }

  void change(
      Cause cause, Expr guard, FieldChange.@Nullable Timing timing, List<Assignment> effects) {
    changes.add(
        new FieldChange(
            changes.size(), "change" + changes.size(), cause, guard, timing, effects, Span.NONE));
  }
}
