package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.resolve.Chart;
import stoplog.dsl.resolve.Keeping;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Statement;
import stoplog.dsl.resolve.Statement.Drive;
import stoplog.dsl.resolve.Statement.Guard;
import stoplog.dsl.resolve.Statement.SetLatch;
import stoplog.dsl.resolve.Statement.SetSignal;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.Inhibit;
import stoplog.model.Role;

/**
 * The scan program, in the order written.
 *
 * <p>Timers and edges are assigned at their places, see {@link TermMemory}. Within a command: those
 * of the demand, of its values, of all guards, then the trips, whether it is blocked, and last the
 * command itself. A command keeps on while demand and interlocks hold and no trip is set, and comes
 * on if the permissives hold too; from one value to another it goes without asking these.
 *
 * <p>Whether equipment is blocked is kept in a variable where some reader asks: above its command
 * that is what the last scan found.
 */
final class LogicLowering {
  private final Parts parts;
  private final Meanings meanings;
  private final Map<String, Integer> memories = new HashMap<>();
  private final TermMemory memory;
  private final KeptLowering kept;
  private final Set<Integer> retained = new HashSet<>();
  private final Set<String> blockedRead = new HashSet<>();
  private final Map<Drive, List<Integer>> tripsOf = new IdentityHashMap<>();
  private final Map<Drive, Integer> blockedOf = new IdentityHashMap<>();
  private final @Nullable Expr reset;
  private final ChartLowering steps;

  /**
   * @param reset the panel button that resets trips with none of their own; {@code null} for none
   */
  LogicLowering(Parts parts, Meanings meanings, @Nullable Expr reset) {
    this.parts = parts;
    this.meanings = meanings;
    this.reset = reset;
    this.memory = new TermMemory(parts, meanings);
    this.kept = new KeptLowering(parts, meanings, memory);
    this.steps = new ChartLowering(parts, meanings, memory, kept);
  }

  /** Something that is read somewhere: what is only kept for such readers is kept then. */
  void needs(Term read) {
    if (read instanceof Term.Blocked b) {
      blockedRead.add(b.equipment().name().text());
    }
  }

  /** The variables of all statements, so that a statement may read what a later one writes. */
  void declare(List<Statement> program) {
    for (Statement s : program) {
      switch (s) {
        case SetLatch l -> {
          int id = flag(l.latch(), l.latch().text(), l);
          if (l.latch().retained()) {
            retained.add(id);
          }
        }
        case SetSignal g -> flag(g.signal(), g.signal().text(), g);
        case Drive d -> declare(d);
        case Keeping k -> kept.declare(k);
        case Chart c -> steps.declare(c);
      }
    }
  }

  private void declare(Drive d) {
    Symbol.Equipment e = d.equipment();
    var trips = new ArrayList<Integer>();
    boolean interlocked = false;
    for (Guard g : d.guards()) {
      interlocked |= g.kind() == Inhibit.Kind.INTERLOCK;
      if (g.kind() == Inhibit.Kind.TRIP) {
        String name = e.name() + ".trip" + (meanings.tripsOf(e).size() + 1);
        int trip = parts.flag(name, Role.MEMORY, "clear", "tripped", g.text(), g.span());
        meanings.trip(e, trip);
        trips.add(trip);
      }
    }
    tripsOf.put(d, trips);
    if (interlocked && blockedRead.contains(e.name().text())) {
      String text = "an interlock of " + e.name() + " does not hold";
      int others = meanings.blocksOf(e).size();
      String name = e.name() + ".blocked" + (others == 0 ? "" : others + 1);
      int blocked = parts.flag(name, Role.MEMORY, "free", "blocked", text, d.span());
      meanings.block(e, blocked);
      blockedOf.put(d, blocked);
    }
  }

  private int flag(Symbol symbol, String text, Statement at) {
    int id = parts.flag(symbol.name().text(), Role.MEMORY, "off", "on", text, at.span());
    memories.put(symbol.name().text(), id);
    meanings.truth(symbol, Expr.is(id, 1));
    return id;
  }

  /** Variables that keep their value without power. */
  Set<Integer> retained() {
    var all = new HashSet<>(retained);
    all.addAll(kept.retained());
    return all;
  }

  void lower(List<Statement> program) {
    for (Statement s : program) {
      switch (s) {
        case SetLatch l -> latch(l);
        case SetSignal g ->
            assign(memory(g.signal()), term(g.value(), g.signal().name().text()), s);
        case Drive d -> drive(d);
        case Keeping k -> kept.lower(k);
        case Chart c -> steps.lower(c);
      }
    }
  }

  /** The variable of a latch or signal. */
  int memory(Symbol symbol) {
    return java.util.Objects.requireNonNull(memories.get(symbol.name().text()));
  }

  private void assign(int variable, Expr value, Statement at) {
    parts.program.add(new Assignment(variable, value, at.span()));
  }

  private void latch(SetLatch l) {
    int id = memory(l.latch());
    Expr now = Expr.is(id, 1);
    Expr set = term(l.setBy(), l.latch().name().text());
    Expr cleared = Expr.not(term(l.clearedBy(), l.latch().name().text()));
    Expr value =
        l.setWins() ? Expr.any(set, Expr.all(now, cleared)) : Expr.all(cleared, Expr.any(set, now));
    assign(id, value, l);
  }

  private void drive(Drive d) {
    var guards = new ArrayList<Guarded>();
    String tag = d.equipment().name().text();
    Expr demand = demand(d, d.demand() == null ? Expr.FALSE : term(d.demand(), tag));
    var values = new ArrayList<Expr>();
    d.values().forEach(v -> values.add(term(v.when(), tag)));
    for (Guard g : d.guards()) {
      guards.add(guarded(g, tag));
    }
    List<StepDemands.Demand> called = steps.of(d.equipment(), d.verb());
    var wanted = new ArrayList<>(List.of(demand));
    called.forEach(c -> wanted.add(c.active()));
    Expr holds = holds(d, Expr.any(wanted), guards);
    Expr value = new Expr.Constant(1);
    for (int i = values.size() - 1; i >= 0; i--) {
      value = at(d.values().get(i).value(), values.get(i), value);
    }
    for (StepDemands.Demand c : called.reversed()) {
      value = c.value() == null ? value : at(c.value(), c.active(), value);
    }
    Expr command =
        value.equals(new Expr.Constant(1))
            ? holds
            : new Expr.Choose(holds, value, new Expr.Constant(0));
    assign(meanings.commandOf(d.equipment(), d.command()), command, d);
  }

  private static Expr at(int value, Expr when, Expr otherwise) {
    Expr constant = new Expr.Constant(value);
    return constant.equals(otherwise) ? otherwise : new Expr.Choose(when, constant, otherwise);
  }

  /**
   * A guard as the scan evaluates it.
   *
   * @param condition as written, but as good as content while it is bypassed
   * @param reset what resets a trip; {@code null} for nothing
   */
  private record Guarded(Guard guard, Expr condition, @Nullable Expr reset) {}

  private Guarded guarded(Guard g, String tag) {
    Expr condition = term(g.condition(), tag);
    if (g.bypass() != null) {
      Expr bypass = term(g.bypass(), tag);
      condition =
          g.kind() == Inhibit.Kind.TRIP
              ? Expr.all(condition, Expr.not(bypass))
              : Expr.any(condition, bypass);
    }
    return new Guarded(g, condition, g.resetBy() == null ? reset : term(g.resetBy(), tag));
  }

  /** Whether the command is on after this scan; the trips are brought up to date on the way. */
  private Expr holds(Drive d, Expr demand, List<Guarded> guards) {
    int command = meanings.commandOf(d.equipment(), d.command());
    var holding = new ArrayList<Expr>(List.of(demand));
    var starting = new ArrayList<Expr>();
    var missing = new ArrayList<Expr>();
    Iterator<Integer> trips = tripsOf.getOrDefault(d, List.of()).iterator();
    for (Guarded guarded : guards) {
      Guard g = guarded.guard();
      Expr condition = guarded.condition();
      parts.inhibits.add(new Inhibit(g.kind(), command, text(g), condition, g.span()));
      switch (g.kind()) {
        case PERMISSIVE -> starting.add(condition);
        case INTERLOCK -> {
          holding.add(condition);
          missing.add(Expr.not(condition));
        }
        case TRIP -> {
          int trip = trips.next();
          Expr by = guarded.reset();
          Expr kept = by == null ? Expr.is(trip, 1) : Expr.all(Expr.is(trip, 1), Expr.not(by));
          parts.program.add(new Assignment(trip, Expr.any(condition, kept), g.span()));
          holding.add(Expr.not(Expr.is(trip, 1)));
        }
      }
    }
    Integer blocked = blockedOf.get(d);
    if (blocked != null) {
      assign(blocked, Expr.any(missing), d);
    }
    Expr on = parts.variables.get(command).size() == 2
        ? Expr.is(command, 1)
        : Expr.not(Expr.is(command, 0));
    holding.add(starting.isEmpty() ? Expr.TRUE : Expr.any(on, Expr.all(starting)));
    return Expr.all(holding);
  }

  private static String text(Guard g) {
    Term bypass = g.bypass();
    return bypass == null
        ? g.text()
        : g.text() + " (bypassable by " + bypass.span().text() + ")";
  }

  /**
   * The demand is evaluated before the trips and interlocks of its own command. Only where it reads
   * one of them can that be told from evaluating it afterwards, and only there is it kept in a
   * variable.
   */
  private Expr demand(Drive d, Expr value) {
    Term demand = d.demand();
    if (demand == null || !readsOwnGuards(d, demand)) {
      return value;
    }
    boolean only = d.equipment().kind().commands().size() == 1;
    String name = d.equipment().name() + (only ? ".demand" : ".demand." + d.verb());
    int id =
        parts.flag(name, Role.MEMORY, "off", "on", "demand for " + d.equipment().name(), d.span());
    parts.program.add(new Assignment(id, value, d.span()));
    return Expr.is(id, 1);
  }

  private static boolean readsOwnGuards(Drive d, Term demand) {
    String tag = d.equipment().name().text();
    boolean[] reads = {false};
    demand.each(
        t ->
            reads[0] |=
                (t instanceof Term.Tripped r && r.equipment().name().text().equals(tag))
                    || (t instanceof Term.Blocked b && b.equipment().name().text().equals(tag)));
    return reads[0];
  }

  private Expr term(Term term, String owner) {
    return memory.of(term, owner);
  }

  /** Names of everything the logic reads. */
  static Set<String> read(ResolvedPlant plant, boolean resetRead) {
    var names = new HashSet<String>();
    plant.eachLogicTerm(
        t -> {
          if (t instanceof Term.Holds h) {
            names.add(h.symbol().name().text());
          }
        });
    if (resetRead) {
      names.add(ResolvedPlant.RESET);
    }
    return names;
  }
}
