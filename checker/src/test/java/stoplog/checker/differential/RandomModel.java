package stoplog.checker.differential;

import static stoplog.checker.differential.RandomParts.set;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Controller;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/**
 * Small random models, drawn from everything the model can say. They mean nothing as plants; they are
 * small enough for every tick of every run to be enumerated.
 *
 * <p>Beside loose parts (fields with free and timed changes, memories assigned anyhow) they hold the
 * parts that plants are made of, wired at random: travelling equipment that answers a command,
 * instruments that lag, on-delay timers, latches. The claim names few variables, so that a localised
 * search has something to hide.
 */
public final class RandomModel {
  private final Random random;
  private final List<Integer> fields = new ArrayList<>();
  private final List<Integer> memories = new ArrayList<>();
  private final List<Integer> instruments = new ArrayList<>();
  private final List<Integer> timers = new ArrayList<>();
  private final List<int[]> equipment = new ArrayList<>();
  private final RandomExpr expressions;
  private final RandomParts parts;
  private final int longest;

  /** Whether to hold many alike variables, and conditions about several of them. */
  private final boolean grouping;

  /** Whether to hold no clock, and a controller that reacts at once. */
  private final boolean timeless;

  private final List<Integer> broken = new ArrayList<>();
  private int plain;

  private RandomModel(long seed, boolean grouping, boolean timeless) {
    random = new Random(seed);
    this.grouping = grouping;
    this.timeless = timeless;
    parts = new RandomParts(random);
    longest = parts.longest;
    expressions = new RandomExpr(random, parts.variables, parts.definitions, grouping);
  }

  public static Model of(long seed) {
    return new RandomModel(seed, false, false).build();
  }

  /** Many latches and alarms, and conditions that ask about several of them at once. */
  public static Model withGroups(long seed) {
    return new RandomModel(seed, true, seed % 4 == 0).build();
  }

  /** Without clocks, and with a controller that reacts at once. */
  public static Model withoutClocks(long seed) {
    return new RandomModel(seed, seed % 2 == 0, true).build();
  }

  /** The same model, whose claim asks whether its condition can always be reached. */
  public static Model askingWhatCanAlwaysBe(long seed) {
    return askingWhatCanAlwaysBe(of(seed), seed);
  }

  static Model askingWhatCanAlwaysBe(Model m, long seed) {
    Claim c = m.claims().getFirst();
    var claim =
        new Claim(
            c.id(), c.text(), Claim.Kind.ALWAYS_CAN, c.condition(), 0, c.monitors(),
            granted(m, c, seed), c.faultBudget(), c.faultsOf(), c.basis(), c.origin());
    return new Model(
        m.name(), m.quantumMicros(), m.variables(), m.definitions(), m.clocks(), m.changes(),
        m.controller(), m.start(), m.reactions(), List.of(claim), m.inhibits(), m.indications());
  }

  /** Nothing; or that what the claim remembers has not happened; or that some value does not occur. */
  private static Expr granted(Model m, Claim c, long seed) {
    if (!c.monitors().isEmpty() && seed % 2 == 0) {
      return Expr.is(c.monitors().getFirst().variable(), 0);
    }
    Variable v = m.variables().get((int) (seed / 3 % m.variables().size()));
    return seed % 3 == 0 && v.role() != Role.MONITOR
        ? Expr.not(Expr.is(v.id(), v.size() - 1))
        : Expr.TRUE;
  }

  private Model build() {
    declare();
    boolean power = random.nextInt(4) == 0 && parts.variable("power", Role.POWER, 2) >= 0;
    plain = parts.variables.size();
    int defined = random.nextInt(4);
    for (int i = 0; i < defined; i++) {
      parts.definitions.add(
          new Definition(i, "d" + i, expressions.truth(plain, 1 + random.nextInt(2)), "", Span.NONE));
    }
    instruments.forEach(this::lagging);
    if (!timeless) {
      equipment.forEach(e -> travelling(e[0], e[1]));
    }
    looseParts();
    if (!timeless) {
      timers.forEach(this::timing);
    }
    broken.forEach(b -> parts.change(Cause.FAULT, Expr.TRUE, null, List.of(set(b, 1))));
    memories.forEach(this::remembering);
    if (random.nextInt(4) == 0) {
      int target = random.nextInt(plain);
      if (parts.variables.get(target).role() != Role.POWER) {
        parts.program.add(new Assignment(target, expressions.value(target, plain, 1)));
      }
    }
    for (int i = random.nextInt(3); i > 0; i--) {
      int target = fields.get(random.nextInt(fields.size()));
      parts.reactions.add(new Assignment(target, expressions.value(target, plain, 2)));
    }
    if (power) {
      powerFails(plain - 1);
    }
    Claim claim = claim();
    var start = new ArrayList<Assignment>();
    for (int i = random.nextInt(5) - 2; i > 0; i--) {
      int target = fields.get(random.nextInt(fields.size()));
      start.add(new Assignment(target, expressions.value(target, plain, 1)));
    }
    var controller =
        new Controller(
            timeless ? 0 : random.nextInt(3),
            1 + random.nextInt(3),
            power ? Expr.is(plain - 1, 1) : Expr.TRUE,
            parts.program);
    return new Model(
        "random", 1000, parts.variables, parts.definitions, parts.clocks, parts.changes, controller,
        start, parts.reactions,
        List.of(claim), List.of(), List.of());
  }

  // What there is

  private void declare() {
    if (grouping) {
      for (int i = 2 + random.nextInt(4); i > 0; i--) {
        add(memories, parts.variable("latch" + memories.size(), Role.MEMORY, 2));
      }
      for (int i = random.nextInt(4); i > 0; i--) {
        add(fields, parts.variable("alarm" + fields.size(), Role.PROCESS, 2));
      }
      for (int i = random.nextInt(3); i > 0; i--) {
        add(broken, parts.variable("broken" + broken.size(), Role.INSTRUMENT, 2));
      }
    }
    for (int i = 1 + random.nextInt(3); i > 0; i--) {
      add(fields, parts.variable("f" + fields.size(), Role.PROCESS, 2 + random.nextInt(3)));
    }
    for (int i = random.nextInt(3); i > 0; i--) {
      add(instruments, parts.variable("reading" + instruments.size(), Role.INSTRUMENT, 2));
    }
    for (int i = random.nextInt(3); i > 0; i--) {
      add(memories, parts.variable("m" + memories.size(), Role.MEMORY, 2 + random.nextInt(2)));
    }
    for (int i = random.nextInt(2); i > 0; i--) {
      add(timers, parts.variable("t" + timers.size(), Role.TIMER, 3));
    }
    if (random.nextInt(3) == 0) {
      int command = parts.variable("command", Role.COMMAND, 2);
      int position = command < 0 ? -1 : parts.variable("position", Role.EQUIPMENT, 4);
      if (command >= 0) {
        memories.add(command);
      }
      if (position >= 0) {
        equipment.add(new int[] {position, command});
      }
    }
  }

  private static void add(List<Integer> to, int variable) {
    if (variable >= 0) {
      to.add(variable);
    }
  }

  // Parts of plants

  /** One clock while reading and truth differ, and a change for each direction. */
  private void lagging(int reading) {
    Expr truth = expressions.truth(plain, 1);
    if (timeless) {
      for (int to = 0; to < 2; to++) {
        Expr follows = to == 1 ? truth : Expr.not(truth);
        parts.change(Cause.INSTRUMENT, follows, null, List.of(set(reading, to)));
      }
      return;
    }
    Expr differs = Expr.not(new Expr.Same(new Expr.Read(reading), truth));
    int earliest = random.nextInt(3);
    int clock =
        parts.clock(differs, new Bound(earliest + random.nextInt(longest - earliest + 1), true));
    for (int to = 0; to < 2; to++) {
      Expr guard = Expr.all(Expr.is(reading, 1 - to), to == 1 ? truth : Expr.not(truth));
      parts.change(Cause.INSTRUMENT, guard, parts.window(clock, earliest), List.of(set(reading, to)));
    }
  }

  /** Closed, opening, open, closing, as commanded; a reversal starts the travel afresh. */
  private void travelling(int position, int command) {
    parts.reactions.add(
        new Assignment(
            position,
            new Expr.Choose(
                Expr.is(command, 1),
                new Expr.Choose(
                    in(position, 0, 3), new Expr.Constant(1), new Expr.Read(position)),
                new Expr.Choose(
                    in(position, 1, 2), new Expr.Constant(3), new Expr.Read(position)))));
    for (int moving = 1; moving <= 3; moving += 2) {
      int earliest = random.nextInt(longest);
      int clock =
          parts.clock(
              Expr.is(position, moving),
              Bound.at(earliest + random.nextInt(longest - earliest + 1)));
      parts.change(
          Cause.EQUIPMENT,
          Expr.TRUE,
          parts.window(clock, earliest),
          List.of(set(position, (moving + 1) % 4)));
    }
  }

  private static Expr in(int variable, int first, int second) {
    return new Expr.In(new Expr.Read(variable), 1L << first | 1L << second);
  }

  /** An on-delay at its place in the program. */
  private void timing(int timer) {
    parts.program.add(
        new Assignment(
            timer,
            new Expr.Choose(
                expressions.truth(plain, 1),
                new Expr.Choose(Expr.is(timer, 0), new Expr.Constant(1), new Expr.Read(timer)),
                Expr.FALSE)));
    int earliest = 1 + random.nextInt(longest - 1);
    int clock =
        parts.clock(Expr.is(timer, 1), Bound.at(earliest + random.nextInt(longest - earliest + 1)));
    parts.change(Cause.TIMER, Expr.TRUE, parts.window(clock, earliest), List.of(set(timer, 2)));
  }

  private void remembering(int memory) {
    boolean latch = random.nextInt(3) == 0;
    Expr value =
        latch
            ? new Expr.Choose(
                expressions.truth(plain, 1),
                Expr.FALSE,
                new Expr.Choose(expressions.truth(plain, 1), Expr.TRUE, new Expr.Read(memory)))
            : expressions.value(memory, plain, 2);
    parts.program.add(new Assignment(memory, value));
    if (random.nextInt(5) == 0) {
      parts.program.add(new Assignment(memory, expressions.value(memory, plain, 1)));
    }
  }

  private void powerFails(int power) {
    var cut = new ArrayList<Assignment>();
    cut.add(set(power, 0));
    memories.forEach(m -> cut.add(set(m, 0)));
    timers.forEach(t -> cut.add(set(t, 0)));
    parts.change(Cause.POWER, Expr.is(power, 1), null, cut);
    parts.change(Cause.POWER, Expr.is(power, 0), null, List.of(set(power, 1)));
  }

  // Loose parts

  private void looseParts() {
    for (int i = timeless ? 0 : random.nextInt(3); i > 0; i--) {
      timedChange();
    }
    for (int i = 1 + random.nextInt(3); i > 0; i--) {
      Cause cause = random.nextInt(5) == 0 ? Cause.FAULT : Cause.PROCESS;
      parts.change(cause, expressions.truth(plain, 1), null, effects());
    }
  }

  /** A clock on one value of a field, with the change that leaves the value, and perhaps another. */
  private void timedChange() {
    int v = fields.get(random.nextInt(fields.size()));
    int size = parts.variables.get(v).size();
    int at = random.nextInt(size);
    Expr running =
        switch (random.nextInt(8)) {
          case 0, 1 -> Expr.all(Expr.is(v, at), expressions.truth(plain, 1));
          case 2 -> random.nextInt(6) == 0 ? Expr.TRUE : expressions.truth(plain, 1);
          default -> Expr.is(v, at);
        };
    int earliest = random.nextInt(longest);
    int latest = earliest + random.nextInt(longest - earliest + 1);
    boolean openAfter = parts.openBounds && random.nextInt(4) == 0;
    Bound limit = random.nextInt(4) == 0 ? null : new Bound(latest, !openAfter);
    int clock = parts.clock(running, limit);
    int to = (at + 1 + random.nextInt(size - 1)) % size;
    parts.change(Cause.EQUIPMENT, Expr.TRUE, parts.window(clock, earliest), List.of(set(v, to)));
    if (random.nextInt(3) == 0) {
      parts.change(
          Cause.EQUIPMENT, expressions.truth(plain, 0),
          parts.window(clock, random.nextInt(earliest + 1)), effects());
    }
  }

  private List<Assignment> effects() {
    var effects = new ArrayList<Assignment>();
    for (int i = random.nextInt(12) == 0 ? 0 : 1 + random.nextInt(5) / 4; i > 0; i--) {
      int v =
          random.nextInt(8) == 0 && !memories.isEmpty()
              ? memories.get(random.nextInt(memories.size()))
              : fields.get(random.nextInt(fields.size()));
      effects.add(new Assignment(v, expressions.value(v, plain, random.nextInt(2))));
    }
    return effects;
  }

  // The claim

  private Claim claim() {
    var monitors = new ArrayList<Assignment>();
    Expr condition =
        grouping && plain >= 3 && random.nextInt(3) > 0
            ? expressions.group(plain)
            : expressions.truth(plain, random.nextInt(3));
    if (random.nextInt(4) == 0) {
      int seen = parts.monitor("seen");
      monitors.add(
          new Assignment(
              seen,
              new Expr.Choose(
                  expressions.truth(plain, 1),
                  Expr.FALSE,
                  new Expr.Choose(expressions.truth(plain, 1), Expr.TRUE, new Expr.Read(seen)))));
      condition = random.nextBoolean() ? Expr.is(seen, 1) : Expr.all(Expr.is(seen, 1), condition);
    } else if (random.nextInt(6) == 0) {
      int now = parts.monitor("now");
      int before = parts.monitor("before");
      monitors.add(new Assignment(before, new Expr.Read(now)));
      monitors.add(new Assignment(now, expressions.truth(plain, 1)));
      condition = Expr.all(Expr.is(before, random.nextInt(2)), condition);
    }
    return new Claim(
        "C", "", Claim.Kind.HAZARD, condition, random.nextInt(longest), monitors,
        random.nextInt(3), faultsOf(), Claim.Basis.NONE, Span.NONE);
  }

  /** Whose faults: mostly anybody's. */
  private List<Integer> faultsOf() {
    var assigned = new ArrayList<Integer>();
    for (FieldChange c : parts.changes) {
      if (c.cause() == Cause.FAULT) {
        c.effects().forEach(a -> assigned.add(a.variable()));
      }
    }
    return assigned.isEmpty() || random.nextInt(3) > 0
        ? List.of()
        : List.of(assigned.get(random.nextInt(assigned.size())));
  }
}
