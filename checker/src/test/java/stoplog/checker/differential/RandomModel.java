package stoplog.checker.differential;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/**
 * Small random models, drawn from everything the model can say. They mean nothing as plants; they are
 * small enough for every tick of every run to be enumerated.
 */
final class RandomModel {
  private final Random random;
  private final List<Variable> variables = new ArrayList<>();
  private final List<Definition> definitions = new ArrayList<>();
  private final List<Clock> clocks = new ArrayList<>();
  private final List<FieldChange> changes = new ArrayList<>();
  private final int fields;
  private final int memories;

  private RandomModel(long seed) {
    random = new Random(seed);
    fields = 1 + random.nextInt(3);
    memories = random.nextInt(3);
  }

  static Model of(long seed) {
    return new RandomModel(seed).build();
  }

  private Model build() {
    for (int i = 0; i < fields; i++) {
      variable("f" + i, Role.PROCESS, 2 + random.nextInt(2));
    }
    for (int i = 0; i < memories; i++) {
      variable("m" + i, Role.MEMORY, 2);
    }
    boolean power = random.nextInt(4) == 0;
    if (power) {
      variable("power", Role.POWER, 2);
    }
    int plain = variables.size();
    if (random.nextInt(3) == 0) {
      definitions.add(new Definition(0, "d", truth(plain, 2), "", Span.NONE));
    }
    int timed = 1 + random.nextInt(2);
    for (int i = 0; i < timed; i++) {
      timedChange();
    }
    int free = 1 + random.nextInt(3);
    for (int i = 0; i < free; i++) {
      change(
          random.nextInt(6) == 0 ? FieldChange.Cause.FAULT : FieldChange.Cause.PROCESS,
          truth(plain, 1),
          null,
          effects(fields));
    }
    if (power) {
      int p = fields + memories;
      change(FieldChange.Cause.POWER, Expr.is(p, 1), null, cut(p));
      change(
          FieldChange.Cause.POWER, Expr.is(p, 0), null, List.of(new Assignment(p, Expr.TRUE)));
    }
    var program = new ArrayList<Assignment>();
    for (int i = 0; i < memories; i++) {
      program.add(new Assignment(fields + i, truth(plain, 2)));
    }
    if (random.nextInt(4) == 0) {
      program.add(new Assignment(0, choice(0, plain)));
    }
    var reactions = new ArrayList<Assignment>();
    if (random.nextInt(3) == 0) {
      int target = random.nextInt(fields);
      reactions.add(new Assignment(target, choice(target, plain)));
    }
    var start = new ArrayList<Assignment>();
    if (random.nextInt(4) == 0) {
      int target = random.nextInt(fields);
      start.add(new Assignment(target, choice(target, plain)));
    }
    var monitors = new ArrayList<Assignment>();
    Expr condition = truth(plain, 2);
    if (random.nextInt(4) == 0) {
      int m = variables.size();
      variable("seen", Role.MONITOR, 2);
      monitors.add(
          new Assignment(
              m,
              new Expr.Choose(
                  truth(plain, 1),
                  Expr.FALSE,
                  new Expr.Choose(truth(plain, 1), Expr.TRUE, new Expr.Read(m)))));
      condition = random.nextBoolean() ? Expr.is(m, 1) : Expr.all(Expr.is(m, 1), condition);
    }
    var controller =
        new Controller(
            random.nextInt(3),
            1 + random.nextInt(2),
            power ? Expr.is(fields + memories, 1) : Expr.TRUE,
            program);
    var claim =
        new Claim(
            "C",
            "",
            Claim.Kind.HAZARD,
            condition,
            random.nextInt(4),
            monitors,
            random.nextInt(2),
            Span.NONE);
    return new Model(
        "random",
        1000,
        variables,
        definitions,
        clocks,
        changes,
        controller,
        start,
        reactions,
        List.of(claim),
        List.of(),
        List.of());
  }

  private void variable(String name, Role role, int size) {
    var words = new ArrayList<String>();
    for (int i = 0; i < size; i++) {
      words.add(Integer.toString(i));
    }
    long initial = 1L << random.nextInt(size);
    if (random.nextInt(3) == 0 && role == Role.PROCESS) {
      initial = (1L << size) - 1;
    }
    if (role == Role.MONITOR || role == Role.POWER) {
      initial = role == Role.POWER ? 2 : 1;
    }
    variables.add(
        new Variable(variables.size(), name, role, words, initial, "", Span.NONE));
  }

  /** A clock on one value of a field variable, with the change that leaves the value. */
  private void timedChange() {
    int v = random.nextInt(fields);
    int size = variables.get(v).size();
    int at = random.nextInt(size);
    Expr running =
        random.nextInt(3) > 0 ? Expr.is(v, at) : Expr.all(Expr.is(v, at), truth(fields + memories, 1));
    int earliest = random.nextInt(4);
    int latest = earliest + random.nextInt(3);
    boolean openBefore = random.nextInt(5) == 0;
    boolean openAfter = latest > earliest + 1 && random.nextInt(5) == 0;
    Bound limit = random.nextInt(4) == 0 ? null : new Bound(latest, !openAfter);
    int clock = clocks.size();
    clocks.add(new Clock(clock, "c" + clock, running, limit, Span.NONE));
    int to = (at + 1 + random.nextInt(size - 1)) % size;
    change(
        FieldChange.Cause.EQUIPMENT,
        Expr.TRUE,
        new FieldChange.Timing(clock, new Bound(earliest, !openBefore), limit),
        List.of(new Assignment(v, new Expr.Constant(to))));
  }

  private void change(
      FieldChange.Cause cause,
      Expr guard,
      FieldChange.@Nullable Timing timing,
      List<Assignment> effects) {
    changes.add(
        new FieldChange(
            changes.size(), "change" + changes.size(), cause, guard, timing, effects, Span.NONE));
  }

  private List<Assignment> effects(int among) {
    int v = random.nextInt(among);
    return List.of(
        new Assignment(v, new Expr.Constant(random.nextInt(variables.get(v).size()))));
  }

  private List<Assignment> cut(int power) {
    var effects = new ArrayList<Assignment>();
    effects.add(new Assignment(power, Expr.FALSE));
    for (int i = 0; i < memories; i++) {
      effects.add(new Assignment(fields + i, Expr.FALSE));
    }
    return effects;
  }

  private Expr choice(int target, int plain) {
    return new Expr.Choose(
        truth(plain, 1),
        new Expr.Constant(random.nextInt(variables.get(target).size())),
        new Expr.Read(target));
  }

  private Expr truth(int plain, int depth) {
    int kind = random.nextInt(depth == 0 ? 2 : 6);
    return switch (kind) {
      case 0, 1 -> {
        int v = random.nextInt(plain);
        yield new Expr.In(new Expr.Read(v), 1L << random.nextInt(variables.get(v).size()));
      }
      case 2 -> Expr.not(truth(plain, depth - 1));
      case 3 -> Expr.all(truth(plain, depth - 1), truth(plain, depth - 1));
      case 4 -> Expr.any(truth(plain, depth - 1), truth(plain, depth - 1));
      default ->
          definitions.isEmpty()
              ? new Expr.Same(new Expr.Read(random.nextInt(plain)), new Expr.Read(random.nextInt(plain)))
              : new Expr.Use(0);
    };
  }
}
