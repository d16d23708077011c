package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.resolve.Bands;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.model.Expr;

/** What each thing of the plant has become in the model, and so what a term means there. */
final class Meanings {
  private final Map<String, Expr> truths = new HashMap<>();
  private final Map<String, Integer> positions = new HashMap<>();
  private final Map<String, Long> domains = new HashMap<>();
  private final Map<String, Map<Integer, Integer>> commands = new HashMap<>();
  private final Map<String, Integer> selectors = new HashMap<>();
  private final Map<String, Gauge> gauges = new HashMap<>();
  private final Map<String, Integer> orders = new HashMap<>();
  private final Map<String, Integer> counts = new HashMap<>();
  private final Map<String, List<Integer>> trips = new HashMap<>();
  private final Map<String, List<Integer>> blocks = new HashMap<>();
  private final Map<String, FaultLowering.Fault> faults = new HashMap<>();
  private final Map<String, Integer> valued = new HashMap<>();
  private final Map<String, Function<List<Integer>, Expr>> steps = new HashMap<>();
  private final Parts parts;

  Meanings(Parts parts) {
    this.parts = parts;
  }

  /**
   * A variable over bands.
   *
   * @param edges how many values each band has: 3 for a level, which remembers how it got there
   */
  record Gauge(int variable, Bands bands, int edges) {
    Expr in(long bandSet) {
      long values = 0;
      for (int b = 0; b < bands.count(); b++) {
        if ((bandSet >>> b & 1) != 0) {
          values |= ((1L << edges) - 1) << (b * edges);
        }
      }
      return values == 0
          ? Expr.FALSE
          : bandSet == bands.all() ? Expr.TRUE : new Expr.In(new Expr.Read(variable), values);
    }
  }

  /** Values of an order variable. */
  static final int BELOW = 0;

  static final int EQUAL = 1;
  static final int ABOVE = 2;

  void truth(Symbol symbol, Expr meaning) {
    truths.put(symbol.name().text(), meaning);
  }

  void truth(String name, Expr meaning) {
    truths.put(name, meaning);
  }

  /**
   * @param domain the positions the variable can take
   */
  void position(Symbol.Equipment e, int variable, long domain) {
    positions.put(e.name().text(), variable);
    domains.put(e.name().text(), domain);
  }

  /**
   * @param command which of its commands
   */
  void command(Symbol.Equipment e, int command, int variable) {
    commands.computeIfAbsent(e.name().text(), k -> new HashMap<>()).put(command, variable);
  }

  void selector(Symbol.Selector s, int variable) {
    selectors.put(s.name().text(), variable);
  }

  void gauge(Symbol s, Gauge gauge) {
    gauges.put(s.name().text(), gauge);
  }

  void order(Symbol a, Symbol.Setpoint s, int variable) {
    orders.put(pair(a, s), variable);
  }

  void trip(Symbol.Equipment e, int variable) {
    trips.computeIfAbsent(e.name().text(), k -> new ArrayList<>()).add(variable);
  }

  void count(Symbol.Count c, int variable) {
    counts.put(c.name().text(), variable);
  }

  /** The faults of a thing that are part of the model. */
  void fault(String name, FaultLowering.Fault fault) {
    faults.put(name, fault);
  }

  /** A variable that is on while some interlock of a command of the equipment does not hold. */
  void block(Symbol.Equipment e, int variable) {
    blocks.computeIfAbsent(e.name().text(), k -> new ArrayList<>()).add(variable);
  }

  List<Integer> blocksOf(Symbol.Equipment e) {
    return blocks.getOrDefault(e.name().text(), List.of());
  }

  /** A variable whose values are read by name, see {@link Term.Valued}. */
  void valued(String name, int variable) {
    valued.put(name, variable);
  }

  int valuedOf(String name) {
    return get(valued, name);
  }

  /**
   * @param active whether one of some steps is active
   */
  void steps(Symbol.Sequence sequence, Function<List<Integer>, Expr> active) {
    steps.put(sequence.name().text(), active);
  }

  int positionOf(Symbol.Equipment e) {
    return get(positions, e.name().text());
  }

  int commandOf(Symbol.Equipment e, int command) {
    return Objects.requireNonNull(get(commands, e.name().text()).get(command));
  }

  Gauge gaugeOf(Symbol s) {
    return get(gauges, s.name().text());
  }

  List<Integer> tripsOf(Symbol.Equipment e) {
    return trips.getOrDefault(e.name().text(), List.of());
  }

  private static String pair(Symbol a, Symbol.Setpoint s) {
    return a.name() + "?" + s.name();
  }

  private static <V> V get(Map<String, V> map, String name) {
    return Objects.requireNonNull(map.get(name), name);
  }

  /** The meaning of a term outside the logic, where nothing is timed. */
  Expr of(Term term) {
    return of(
        term,
        r -> {
          throw new IllegalStateException("a timer or edge outside the logic: " + r.span());
        });
  }

  /**
   * The meaning of a term.
   *
   * @param memory makes the timer or edge of a term that remembers, and gives its answer
   */
  Expr of(Term term, Function<Term.Remembering, Expr> memory) {
    return switch (term) {
      case Term.Broken b -> throw new IllegalStateException("lowered an error: " + b.span());
      case Term.Positioned p ->
          in(positionOf(p.equipment()), p.positions() & get(domains, p.equipment().name().text()));
      case Term.Commanded c -> Expr.is(commandOf(c.equipment(), c.command()), c.value());
      case Term.Holds h -> get(truths, h.symbol().name().text());
      case Term.Selected s -> Expr.is(get(selectors, s.selector().name().text()), s.position());
      case Term.Beside b -> {
        Gauge gauge = gaugeOf(b.gauge());
        yield gauge.in(gauge.bands().where(b.relation(), b.value()));
      }
      case Term.BesideSetpoint b -> besideSetpoint(b);
      case Term.Faulty f -> faulty(f);
      case Term.Counted c -> in(get(counts, c.count().name().text()), c.values());
      case Term.Tripped t -> anyOn(tripsOf(t.equipment()));
      case Term.Blocked b -> anyOn(blocksOf(b.equipment()));
      case Term.Valued v -> {
        int variable = valuedOf(v.variable());
        yield in(variable, v.values() & parts.variables.get(variable).domain());
      }
      case Term.InStep s -> get(steps, s.sequence().name().text()).apply(s.steps());
      case Term.HowMany h -> Counting.of(h, each(h.operands(), memory), parts);
      case Term.Not n -> Expr.not(of(n.operand(), memory));
      case Term.All a -> Expr.all(each(a.operands(), memory));
      case Term.Any a -> Expr.any(each(a.operands(), memory));
      case Term.Remembering r -> memory.apply(r);
    };
  }

  /** A fault that no claim or scenario asks for never strikes. */
  private Expr faulty(Term.Faulty f) {
    FaultLowering.Fault fault = faults.get(f.symbol().name().text());
    if (fault == null) {
      return Expr.FALSE;
    }
    var any = new ArrayList<Expr>();
    f.faults().forEach(name -> any.add(fault.is(name)));
    return Expr.any(any);
  }

  /** A variable has one of these values. */
  static Expr in(int variable, long values) {
    return values == 0 ? Expr.FALSE : new Expr.In(new Expr.Read(variable), values);
  }

  private static Expr anyOn(List<Integer> flags) {
    var on = new ArrayList<Expr>();
    for (int flag : flags) {
      on.add(Expr.is(flag, 1));
    }
    return Expr.any(on);
  }

  private List<Expr> each(List<Term> terms, Function<Term.Remembering, Expr> memory) {
    var list = new ArrayList<Expr>(terms.size());
    for (Term t : terms) {
      list.add(of(t, memory));
    }
    return list;
  }

  /** An order stands for the comparison wherever the value is: see {@link SetpointOrders}. */
  private Expr besideSetpoint(Term.BesideSetpoint b) {
    int order = get(orders, pair(b.gauge(), b.setpoint()));
    return switch (b.relation()) {
      case BELOW -> in(order, 1L << BELOW);
      case AT_MOST -> in(order, 1L << BELOW | 1L << EQUAL);
      case ABOVE -> in(order, 1L << ABOVE);
      case AT_LEAST -> in(order, 1L << ABOVE | 1L << EQUAL);
    };
  }

  /** The variable a plain truth value is kept in, or {@code null} if it is put together. */
  @Nullable Integer variableBehind(Expr e) {
    return switch (e) {
      case Expr.In(Expr.Read r, long values) -> r.variable();
      case Expr.Read r -> r.variable();
      default -> null;
    };
  }
}
