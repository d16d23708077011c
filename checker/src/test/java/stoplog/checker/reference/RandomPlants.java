package stoplog.checker.reference;

import java.util.Random;
import org.jspecify.annotations.Nullable;
import stoplog.checker.testkit.Change;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;

/** Small plants of all constructs, drawn from a seed; most of them mean nothing. */
final class RandomPlants {
  private final Random random;
  private final boolean openBounds;
  private final ModelBuilder m = new ModelBuilder("random");
  private final Var[] variables;

  private RandomPlants(long seed, boolean openBounds) {
    this.random = new Random(seed);
    this.openBounds = openBounds;
    this.variables = new Var[2 + random.nextInt(3)];
  }

  /** The plant of this seed, with one claim. */
  static Model plant(long seed, boolean openBounds) {
    return new RandomPlants(seed, openBounds).plant();
  }

  private Model plant() {
    for (int i = 0; i < variables.length; i++) {
      variables[i] = m.number("v" + i, Role.PROCESS, 2 + random.nextInt(2));
      if (random.nextInt(4) == 0) {
        variables[i].startsAnywhere();
      }
    }
    var clocks = new Watch[1 + random.nextInt(2)];
    for (int i = 0; i < clocks.length; i++) {
      clocks[i] = m.clock("c" + i, truth(1));
      if (random.nextBoolean()) {
        clocks[i].limit(bound(random.nextInt(5) == 0 ? 0 : 1 + random.nextInt(2)));
      }
    }
    int changes = 2 + random.nextInt(3);
    for (int i = 0; i < changes; i++) {
      change(i, clocks);
    }
    m.reactsWithin(random.nextInt(3)).coincident(1 + random.nextInt(2));
    if (random.nextInt(4) == 0) {
      m.powered(variables[0].is(0));
    }
    for (int i = random.nextInt(3); i > 0; i--) {
      m.scans(assignment(1));
    }
    if (random.nextInt(3) == 0) {
      m.reactions(assignment(0));
    }
    Var seen = m.monitor("seen");
    m.hazard("H", random.nextInt(3) == 0 ? Expr.all(seen.on(), truth(1)) : truth(2))
        .remembering(seen.to(ModelBuilder.choose(truth(1), ModelBuilder.value(1), seen.read())))
        .longerThan(random.nextInt(3))
        .tolerating(random.nextInt(2));
    return m.build();
  }

  private void change(int index, Watch[] clocks) {
    Change change = m.change("x" + index).when(truth(1)).does(assignment(0));
    if (random.nextInt(5) == 0) {
      change.by(Cause.FAULT);
    }
    if (random.nextInt(3) > 0) {
      int earliest = random.nextInt(3);
      @Nullable Bound latest = random.nextBoolean() ? bound(earliest + random.nextInt(2)) : null;
      change.within(clocks[random.nextInt(clocks.length)], bound(earliest), latest);
    }
  }

  private Bound bound(int quanta) {
    return new Bound(quanta, !openBounds || random.nextBoolean());
  }

  /** Not of variable 0 if {@code from} is 1: what says whether there is power no scan assigns. */
  private Assignment assignment(int from) {
    Var target = variables[from + random.nextInt(variables.length - from)];
    return switch (random.nextInt(3)) {
      case 0 -> target.to(truth(1));
      case 1 -> target.to(random.nextInt(2));
      default ->
          target.to(ModelBuilder.choose(truth(1), ModelBuilder.value(1), target.read()));
    };
  }

  private Expr truth(int depth) {
    Var v = variables[random.nextInt(variables.length)];
    return switch (depth == 0 ? 0 : random.nextInt(4)) {
      case 1 -> Expr.not(truth(depth - 1));
      case 2 -> Expr.all(truth(depth - 1), truth(depth - 1));
      case 3 -> Expr.any(truth(depth - 1), truth(depth - 1));
      default -> v.is(random.nextInt(2));
    };
  }
}
