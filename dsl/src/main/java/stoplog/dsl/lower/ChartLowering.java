package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.resolve.Chart;
import stoplog.dsl.resolve.Exclusion;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.dsl.resolve.TimeWindow;
import stoplog.dsl.tree.Word;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/**
 * Sequences. A scan carries out one evolution of IEC 60848: all transitions that are enabled and
 * whose conditions hold are cleared together, judged by the steps as the scan found them; a step
 * that is left and entered at once stays active. What stays active is not activated, so its actions
 * on entry are not done again and its times run on.
 *
 * <p>Where only one step can ever be active, one variable holds which; where several can, each step
 * has a variable of its own. The next steps are put together beside the present ones, so that
 * everything is judged by the same steps; then what is stored is stored, exits before entries; then
 * the steps change, and last the times of steps are started.
 */
final class ChartLowering implements StepDemands {
  private final Parts parts;
  private final Meanings meanings;
  private final TermMemory memory;
  private final KeptLowering kept;
  private final Map<Chart, Run> runs = new IdentityHashMap<>();
  private final Map<String, List<Demand>> demands = new HashMap<>();

  /**
   * The variables of a sequence.
   *
   * @param single whether {@code now} is one variable over all steps; else one for each
   * @param held whether it is on hold; -1 if it never is
   */
  private record Run(boolean single, int[] now, int held) {
    Expr active(List<Integer> steps) {
      return active(now, steps);
    }

    Expr active(int[] variables, List<Integer> steps) {
      if (single) {
        long values = 0;
        for (int s : steps) {
          values |= 1L << s;
        }
        return Meanings.in(variables[0], values);
      }
      var any = new ArrayList<Expr>();
      steps.forEach(s -> any.add(Expr.is(variables[s], 1)));
      return Expr.any(any);
    }

    Expr allActive(List<Integer> steps) {
      var all = new ArrayList<Expr>();
      steps.forEach(s -> all.add(active(List.of(s))));
      return Expr.all(all);
    }

    Expr going() {
      return held < 0 ? Expr.TRUE : Expr.is(held, 0);
    }
  }

  ChartLowering(Parts parts, Meanings meanings, TermMemory memory, KeptLowering kept) {
    this.parts = parts;
    this.meanings = meanings;
    this.memory = memory;
    this.kept = kept;
  }

  @Override
  public List<Demand> of(Symbol.Equipment equipment, Word verb) {
    return demands.getOrDefault(key(equipment, verb), List.of());
  }

  private static String key(Symbol.Equipment equipment, Word verb) {
    return verb + " " + equipment.name();
  }

  /** The variables of a sequence, so that a statement above may read them. */
  void declare(Chart c) {
    boolean single = isSingle(c);
    String name = c.sequence().name().text();
    int[] now = new int[single ? 1 : c.steps().size()];
    if (single) {
      var names = new ArrayList<String>();
      long initial = 0;
      for (Chart.Step s : c.steps()) {
        initial |= s.initial() ? 1L << names.size() : 0;
        names.add(s.name());
      }
      now[0] = parts.variable(name, Role.MEMORY, names, initial, c.sequence().text(), c.span());
    } else {
      for (int i = 0; i < now.length; i++) {
        Chart.Step s = c.steps().get(i);
        now[i] = flag(name + "." + s.name(), s.initial() ? 2 : 1, s.text(), s.word().span());
      }
    }
    int held = -1;
    if (!c.holds().isEmpty()) {
      String text = "hold of " + name;
      held =
          parts.flag(name + ".hold", Role.MEMORY, "going on", "on hold", text, c.span());
    }
    var run = new Run(single, now, held);
    runs.put(c, run);
    meanings.steps(c.sequence(), run::active);
    for (Chart.Action a : c.actions()) {
      if (a instanceof Chart.Continuous d) {
        demands
            .computeIfAbsent(key(d.equipment(), d.verb()), k -> new ArrayList<>())
            .add(new Demand(Expr.all(run.active(d.steps()), run.going()), d.value()));
      }
    }
  }

  private int flag(String name, long initial, String text, Span at) {
    return parts.variable(name, Role.MEMORY, List.of("inactive", "active"), initial, text, at);
  }

  /** Whether exactly one step is active at any time, and the text alone shows it. */
  private static boolean isSingle(Chart c) {
    return c.steps().size() <= Variable.MAX_VALUES
        && c.steps().stream().filter(Chart.Step::initial).count() == 1
        && c.transitions().stream().allMatch(t -> t.from().size() == 1 && t.to().size() == 1)
        && Exclusion.conflicts(c).isEmpty();
  }

  /**
   * What the scan judges a sequence by, all as it found it.
   *
   * @param fired for each transition whether it is cleared, aborts left out
   * @param aborts for each abort its condition
   */
  private record Judged(List<Expr> fired, List<Expr> aborts) {}

  void lower(Chart c) {
    Run run = runs.get(c);
    if (run == null) {
      throw new IllegalStateException("not declared: " + c.sequence().name());
    }
    String name = c.sequence().name().text();
    hold(c, run);
    var timers = new Timers(c, run);
    Judged judged = judge(c, run, timers);
    Map<Chart.Stored, Expr> given = new IdentityHashMap<>();
    for (Chart.Action a : c.actions()) {
      if (a instanceof Chart.Stored s) {
        Term when = s.assign().when();
        given.put(s, when == null ? Expr.TRUE : memory.of(when, name));
      }
    }
    boolean stores = c.actions().stream().anyMatch(a -> !(a instanceof Chart.Continuous));
    if (run.single() && !stores) {
      parts.program.add(new Assignment(run.now()[0], nextStep(c, run, judged), c.span()));
    } else {
      int[] next = next(c, run, judged);
      store(c, run, next, given, false);
      store(c, run, next, given, true);
      for (int i = 0; i < next.length; i++) {
        parts.program.add(new Assignment(run.now()[i], new Expr.Read(next[i]), c.span()));
      }
      for (int variable : next) {
        parts.program.add(Parts.set(variable, 0, c.span()));
      }
    }
    timers.start();
  }

  private void hold(Chart c, Run run) {
    if (run.held() >= 0) {
      var any = new ArrayList<Expr>();
      c.holds().forEach(h -> any.add(memory.of(h, c.sequence().name().text())));
      parts.program.add(new Assignment(run.held(), Expr.any(any), c.span()));
    }
  }

  private Judged judge(Chart c, Run run, Timers timers) {
    String name = c.sequence().name().text();
    var aborts = new ArrayList<Expr>();
    c.aborts().forEach(a -> aborts.add(memory.of(a.when(), name)));
    var fired = new ArrayList<Expr>();
    for (Chart.Transition t : c.transitions()) {
      Expr when = t.when() == null ? Expr.TRUE : memory.of(t.when(), name);
      fired.add(Expr.all(run.allActive(t.from()), run.going(), timers.over(t), when));
    }
    return new Judged(fired, aborts);
  }

  /** The next step of a sequence in one variable: no two of its transitions fire together. */
  private static Expr nextStep(Chart c, Run run, Judged judged) {
    Expr value = new Expr.Read(run.now()[0]);
    for (int t = c.transitions().size() - 1; t >= 0; t--) {
      Expr to = new Expr.Constant(c.transitions().get(t).to().getFirst());
      value = new Expr.Choose(judged.fired().get(t), to, value);
    }
    for (int a = c.aborts().size() - 1; a >= 0; a--) {
      Expr to = new Expr.Constant(c.aborts().get(a).to());
      value = new Expr.Choose(judged.aborts().get(a), to, value);
    }
    return value;
  }

  /** Puts the next steps together in variables of their own, which are 0 between scans. */
  private int[] next(Chart c, Run run, Judged judged) {
    int[] next = new int[run.now().length];
    for (int i = 0; i < next.length; i++) {
      Variable now = parts.variables.get(run.now()[i]);
      next[i] =
          parts.variable(now.name() + ".next", Role.MEMORY, now.values(), 1, "", now.origin());
    }
    if (run.single()) {
      parts.program.add(new Assignment(next[0], nextStep(c, run, judged), c.span()));
      return next;
    }
    var leaving = new ArrayList<List<Expr>>();
    var entering = new ArrayList<List<Expr>>();
    for (int i = 0; i < next.length; i++) {
      leaving.add(new ArrayList<>());
      entering.add(new ArrayList<>());
    }
    for (int t = 0; t < c.transitions().size(); t++) {
      Expr fired = judged.fired().get(t);
      c.transitions().get(t).from().forEach(s -> leaving.get(s).add(fired));
      c.transitions().get(t).to().forEach(s -> entering.get(s).add(fired));
    }
    for (int i = 0; i < next.length; i++) {
      Expr stays = Expr.all(Expr.is(run.now()[i], 1), Expr.not(Expr.any(leaving.get(i))));
      Expr value = Expr.any(stays, Expr.any(entering.get(i)));
      for (int a = c.aborts().size() - 1; a >= 0; a--) {
        Expr there = c.aborts().get(a).to() == i ? Expr.TRUE : Expr.FALSE;
        value = new Expr.Choose(judged.aborts().get(a), there, value);
      }
      parts.program.add(new Assignment(next[i], value, c.span()));
    }
    return next;
  }

  private void store(
      Chart c, Run run, int[] next, Map<Chart.Stored, Expr> given, boolean onEntry) {
    for (Chart.Action a : c.actions()) {
      Expr before = run.active(a.steps());
      Expr after = run.active(next, a.steps());
      Expr turns =
          onEntry ? Expr.all(Expr.not(before), after) : Expr.all(before, Expr.not(after));
      switch (a) {
        case Chart.Continuous d -> {}
        case Chart.Stored s -> {
          if (s.onEntry() == onEntry) {
            Expr when = given.getOrDefault(s, Expr.TRUE);
            kept.assign(s.assign(), Expr.all(turns, when));
          }
        }
        case Chart.StoredLatch l -> {
          if (l.onEntry() == onEntry) {
            latch(l, turns);
          }
        }
      }
    }
  }

  private void latch(Chart.StoredLatch l, Expr turns) {
    Integer variable =
        meanings.variableBehind(meanings.of(new Term.Holds(l.latch(), l.span())));
    if (variable == null) {
      throw new IllegalStateException("no variable: " + l.latch().name());
    }
    Expr value = new Expr.Constant(l.set() ? 1 : 0);
    parts.program.add(
        new Assignment(
            variable, new Expr.Choose(turns, value, new Expr.Read(variable)), l.span()));
  }

  /**
   * The times for which steps have been active: one on-delay for each set of steps and time. A hold
   * takes them back to the beginning.
   */
  private final class Timers {
    /**
     * @param own the transition, if a setpoint gives the time: two setpoints differ even if their
     *     windows are alike, and one may change between two readings; {@code null} for a fixed time
     */
    private record Key(
        List<Integer> from, long low, long high, Chart.@Nullable Transition own) {}

    private final Chart chart;
    private final Run run;
    private final Map<Key, Integer> variables = new LinkedHashMap<>();

    Timers(Chart chart, Run run) {
      this.chart = chart;
      this.run = run;
      chart.transitions().forEach(this::declare);
    }

    private static @Nullable Key key(Chart.Transition t) {
      TimeWindow w = t.after();
      if (w == null) {
        return null;
      }
      boolean fixed = w.lowMicros() == w.highMicros();
      return new Key(t.from(), w.lowMicros(), w.highMicros(), fixed ? null : t);
    }

    private void declare(Chart.Transition t) {
      Key key = key(t);
      TimeWindow window = t.after();
      if (key == null || window == null || variables.containsKey(key)) {
        return;
      }
      String sequence = chart.sequence().name().text();
      var names = new ArrayList<String>();
      t.from().forEach(s -> names.add(chart.steps().get(s).name()));
      String name = sequence + ".time" + (variables.size() + 1);
      String text = sequence + " in " + String.join(", ", names) + " for " + told(window);
      int timer =
          parts.variable(
              name, Role.TIMER, List.of("idle", "timing", "elapsed"), 1, text, t.span());
      variables.put(key, timer);
      Expr running = Expr.is(timer, 1);
      var latest = parts.bound(window.highMicros());
      int clock = parts.clock(name, running, latest, window.setting(), t.span());
      parts.change(
          text,
          Cause.TIMER,
          running,
          new Timing(clock, parts.bound(window.lowMicros()), latest),
          List.of(Parts.set(timer, 2, t.span())),
          t.span());
    }

    private static String told(TimeWindow window) {
      return window.span().text().replaceAll("\\s+", " ");
    }

    /** Whether the time of a transition is over; one without has none to wait for. */
    Expr over(Chart.Transition t) {
      Key key = key(t);
      Integer timer = key == null ? null : variables.get(key);
      return timer == null ? Expr.TRUE : Expr.is(timer, 2);
    }

    /** By the steps as they now stand: a step's time counts from the scan that activated it. */
    void start() {
      variables.forEach(
          (key, timer) -> {
            Expr begun =
                new Expr.Choose(
                    Expr.is(timer, 0), new Expr.Constant(1), new Expr.Read(timer));
            Expr counts = Expr.all(run.allActive(key.from()), run.going());
            parts.program.add(
                new Assignment(
                    timer,
                    new Expr.Choose(counts, begun, new Expr.Constant(0)),
                    chart.span()));
          });
    }
  }
}
