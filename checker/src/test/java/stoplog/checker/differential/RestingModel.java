package stoplog.checker.differential;

import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import stoplog.checker.testkit.Change;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.checker.testkit.Question;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * Small random plants that come to rest when nobody touches them, more often than not: inputs, latches
 * that inputs set and clear, timers, a drive, a lagging instrument, power. Now and then one of them is
 * amiss: an input that cannot be taken back or only under a condition, power that does not return, a
 * memory that depends on itself, a drive that stands in mid-travel. Their one claim asks what can always
 * be.
 */
public final class RestingModel {
  private final Random random;
  private final ModelBuilder m = new ModelBuilder("resting");
  private final List<Var> inputs = new ArrayList<>();
  private final List<Var> memories = new ArrayList<>();
  private final List<Var> fields = new ArrayList<>();
  private final List<Var> lost = new ArrayList<>();
  private final Map<Integer, Integer> sizes = new HashMap<>();

  private RestingModel(long seed) {
    random = new Random(seed * 7919);
  }

  public static Model of(long seed) {
    return new RestingModel(seed).build();
  }

  private boolean rarely(int oneIn) {
    return random.nextInt(oneIn) == 0;
  }

  private Model build() {
    for (int i = 1 + random.nextInt(3); i > 0; i--) {
      input(i);
    }
    Var fault = rarely(4) ? m.bit("stuck", Role.FAULT) : null;
    if (fault != null) {
      m.change("sticks").by(Cause.FAULT).when(fault.off()).does(fault.to(1));
    }
    for (int i = 1 + random.nextInt(2); i > 0; i--) {
      Var memory = m.bit("memory" + i, rarely(2) ? Role.MEMORY : Role.COMMAND);
      memories.add(memory);
      lost.add(memory);
    }
    int clocked = random.nextInt(3);
    boolean timer = clocked > 0 && rarely(2);
    if (timer) {
      timer();
    }
    memories.forEach(this::remember);
    if (clocked > (timer ? 1 : 0)) {
      if (rarely(2)) {
        drive(fault);
      } else {
        instrument(fault);
      }
    }
    if (rarely(5)) {
      answer();
    }
    if (rarely(3)) {
      power();
    }
    m.reactsWithin(random.nextInt(3)).coincident(1 + random.nextInt(2));
    claim(fault);
    return m.build();
  }

  // Parts

  private void input(int number) {
    boolean process = rarely(2);
    Cause cause = process ? Cause.PROCESS : Cause.OPERATOR;
    Var v = m.bit("input" + number, process ? Role.PROCESS : Role.PANEL);
    if (rarely(4)) {
      v.startsAnywhere();
    }
    Change on = m.change(v.id() + " on").by(cause).when(v.off()).does(v.to(1));
    if (rarely(8)) {
      on.when(all(v.off(), something()));
    }
    if (rarely(8) && !inputs.isEmpty()) {
      Var other = inputs.getFirst();
      on.does(other.to(random.nextInt(2)));
    }
    if (rarely(5)) {
      // What comes of it, such as a batch mixed by filling, and never lost again.
      Var result = m.bit("result" + number, Role.PROCESS);
      on.does(result.to(1));
      fields.add(result);
    }
    if (!rarely(8)) {
      Change off = m.change(v.id() + " off").by(cause).when(v.on()).does(v.to(0));
      if (rarely(6)) {
        off.when(all(v.on(), something()));
      }
    }
    inputs.add(v);
  }

  private void timer() {
    Var t = m.variable("timer", Role.TIMER, "idle", "runs", "done");
    m.scans(t.to(choose(something(), choose(t.is("idle"), value(1), t.read()), value(0))));
    boolean halts = rarely(6);
    Watch w = m.clock("timer", halts ? all(t.is("runs"), something()) : t.is("runs")).limit(2);
    m.change("timer done").by(Cause.TIMER).between(w, 1 + random.nextInt(2), 2).does(t.to(2));
    fields.add(t);
    sizes.put(t.id(), 3);
    lost.add(t);
  }

  private void remember(Var memory) {
    Expr set = something();
    Expr reset = something();
    switch (random.nextInt(8)) {
      case 0, 1, 2 -> m.scans(memory.to(choose(reset, value(0), choose(set, value(1), memory.read()))));
      case 3, 4 -> m.scans(memory.to(all(any(set, memory.on()), not(reset))));
      case 5 -> m.scans(memory.to(not(any(set, reset))));
      case 6 -> m.scans(memory.to(set), memory.to(choose(reset, value(0), memory.read())));
      default -> m.scans(memory.to(set));
    }
  }

  private void drive(@Nullable Var fault) {
    Var command = memories.getFirst();
    Var drive = m.equipment("drive", "shut", "opening", "open", "shutting");
    m.reactions(
        drive.to(
            choose(
                command.on(),
                choose(drive.is("shut", "shutting"), value(1), drive.read()),
                choose(drive.is("open", "opening"), value(3), drive.read()))));
    for (int moving = 1; moving <= 3; moving += 2) {
      Expr runs = fault == null ? drive.is(moving) : all(drive.is(moving), fault.off());
      Watch w = m.clock("travel" + moving, rarely(8) ? all(runs, something()) : runs).limit(2);
      m.change("travelled" + moving)
          .by(Cause.EQUIPMENT)
          .between(w, random.nextInt(3), 2)
          .does(drive.to((moving + 1) % 4));
    }
    fields.add(drive);
    sizes.put(drive.id(), 4);
  }

  private void instrument(@Nullable Var fault) {
    Var shown = m.bit("shown", Role.INSTRUMENT);
    Expr truth = something();
    Expr differs = not(ModelBuilder.same(shown.read(), truth));
    Expr lags = fault == null ? differs : all(differs, fault.off());
    Watch w = m.clock("lag", rarely(8) ? all(lags, something()) : lags).limit(2);
    m.change("shows").by(Cause.INSTRUMENT).when(truth).between(w, random.nextInt(3), 2).does(shown.to(1));
    m.change("clears")
        .by(Cause.INSTRUMENT)
        .when(not(truth))
        .between(w, random.nextInt(3), 2)
        .does(shown.to(0));
    fields.add(shown);
  }

  /** A field that answers at once, by its own right or on top of the scan. */
  private void answer() {
    Var field = rarely(4) ? memories.getLast() : m.bit("answer", Role.EQUIPMENT);
    Expr now = something();
    m.reactions(field.to(rarely(2) ? now : choose(now, value(random.nextInt(2)), field.read())));
    if (!memories.contains(field)) {
      fields.add(field);
    }
  }

  private void power() {
    Var power = m.bit("power", Role.POWER).starts("on");
    Change fails = m.change("power fails").by(Cause.POWER).when(power.on()).does(power.to(0));
    for (Var v : lost) {
      if (!rarely(3)) {
        fails.does(v.to(0));
      }
    }
    if (!rarely(6)) {
      m.change("power returns").by(Cause.POWER).when(power.off()).does(power.to(1));
    }
    m.powered(power.on());
  }

  // The claim

  private void claim(@Nullable Var fault) {
    Expr condition = something();
    if (rarely(2)) {
      condition = all(condition, something());
    }
    Var seen = rarely(6) ? m.monitor("seen") : null;
    if (seen != null && rarely(2)) {
      condition = any(condition, seen.on());
    }
    Question claim = m.claim("R-1", Claim.Kind.ALWAYS_CAN, condition);
    if (seen != null) {
      claim.remembering(seen.to(any(seen.on(), something())));
    }
    if (fault != null && rarely(2)) {
      claim.tolerating(1);
    }
    if (rarely(3)) {
      claim.onlyWhile(seen != null && rarely(2) ? seen.off() : granted());
    }
  }

  private Expr granted() {
    return rarely(2) ? literal() : inputs.get(random.nextInt(inputs.size())).is(random.nextInt(2));
  }

  private Expr something() {
    return switch (random.nextInt(6)) {
      case 0 -> all(literal(), literal());
      case 1 -> any(literal(), literal());
      default -> literal();
    };
  }

  private Expr literal() {
    var all = new ArrayList<Var>(inputs);
    all.addAll(inputs);
    all.addAll(memories);
    all.addAll(fields);
    if (all.isEmpty()) {
      return Expr.TRUE;
    }
    Var v = all.get(random.nextInt(all.size()));
    Expr is = v.is(random.nextInt(sizes.getOrDefault(v.id(), 2)));
    return rarely(2) ? not(is) : is;
  }
}
