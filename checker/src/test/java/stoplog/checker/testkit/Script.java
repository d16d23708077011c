package stoplog.checker.testkit;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * What the operator does at which tick, against a plant that is otherwise free: all runs are followed,
 * both orders of every tie included.
 */
public final class Script {
  private final Model model;
  private final Interpreter interpreter;
  private final List<Act> acts = new ArrayList<>();

  private record Act(long tick, FieldChange change) {}

  /** A run so far: where it is, how many acts are done, and when the output turned on and off. */
  private record Branch(State state, int acts, List<Long> edges) {}

  public Script(Model model, Claim claim, int ticksPerQuantum) {
    this.model = model;
    this.interpreter = new Interpreter(model, claim, ticksPerQuantum);
  }

  /** The operator's change with this text happens at this tick; acts are added in order of time. */
  public Script at(long tick, String text) {
    for (FieldChange c : model.changes()) {
      if (c.text().equals(text)) {
        acts.add(new Act(tick, c));
        return this;
      }
    }
    throw new IllegalArgumentException("no field change " + text);
  }

  /**
   * All the ways in which a truth value can be on between start and end, as {@code "5-8 25-30"} in
   * ticks; {@code ""} for never. Being on for an instant only does not show.
   */
  public Set<String> waves(String output, long endTick) {
    var waves = new TreeSet<String>();
    for (Branch b : branchesAt(endTick, output)) {
      waves.add(written(b.edges(), endTick));
    }
    return waves;
  }

  /** All the values a variable can have, be it for an instant, at this tick. */
  public Set<Integer> valuesAt(long tick, String variable) {
    var values = new TreeSet<Integer>();
    for (Branch b : branchesAt(tick, variable)) {
      values.add(b.state().value(model.variable(variable).id()));
    }
    return values;
  }

  private Set<Branch> branchesAt(long endTick, String output) {
    int variable = model.variable(output).id();
    State start = interpreter.start(interpreter.startValues().next());
    Set<Branch> now = closure(Set.of(new Branch(start, 0, List.of())), 0);
    for (long tick = 0; tick < endTick; tick++) {
      var next = new LinkedHashSet<Branch>();
      for (Branch b : now) {
        boolean acting = b.acts() < acts.size() && acts.get(b.acts()).tick() == tick;
        if (!acting && interpreter.mayPass(b.state()) > 0) {
          boolean on = b.state().value(variable) == 1;
          next.add(new Branch(interpreter.pass(b.state(), 1), b.acts(), edges(b, on, tick)));
        }
      }
      now = closure(next, tick + 1);
    }
    return now;
  }

  private static List<Long> edges(Branch b, boolean on, long tick) {
    boolean wasOn = b.edges().size() % 2 == 1;
    if (on == wasOn) {
      return b.edges();
    }
    var edges = new ArrayList<Long>(b.edges());
    edges.add(tick);
    return edges;
  }

  /** All that can be reached at this instant. */
  private Set<Branch> closure(Set<Branch> from, long tick) {
    var reached = new LinkedHashSet<Branch>(from);
    var open = new ArrayList<Branch>(from);
    while (!open.isEmpty()) {
      Branch b = open.removeLast();
      for (Branch next : steps(b, tick)) {
        if (reached.add(next)) {
          open.add(next);
        }
      }
    }
    return reached;
  }

  private List<Branch> steps(Branch b, long tick) {
    var next = new ArrayList<Branch>();
    for (FieldChange c : interpreter.enabled(b.state())) {
      if (c.cause() != FieldChange.Cause.OPERATOR) {
        next.add(new Branch(interpreter.apply(b.state(), c), b.acts(), b.edges()));
      }
    }
    if (b.acts() < acts.size() && acts.get(b.acts()).tick() == tick) {
      FieldChange c = acts.get(b.acts()).change();
      if (interpreter.whyNotApply(b.state(), c) == null) {
        next.add(new Branch(interpreter.apply(b.state(), c), b.acts() + 1, b.edges()));
      }
    }
    if (interpreter.mayScan(b.state())) {
      next.add(new Branch(interpreter.scan(b.state()), b.acts(), b.edges()));
    }
    return next;
  }

  private static String written(List<Long> edges, long endTick) {
    var text = new StringBuilder();
    for (int i = 0; i < edges.size(); i += 2) {
      long off = i + 1 < edges.size() ? edges.get(i + 1) : endTick;
      text.append(i == 0 ? "" : " ").append(edges.get(i)).append('-').append(off);
    }
    return text.toString();
  }
}
