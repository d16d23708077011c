package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.ResolvedPlant.Drive;
import stoplog.dsl.resolve.ResolvedPlant.Guard;
import stoplog.dsl.resolve.ResolvedPlant.SetLatch;
import stoplog.dsl.resolve.ResolvedPlant.SetSignal;
import stoplog.dsl.resolve.ResolvedPlant.Statement;
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
 * of the demand, those of all guards, the trips, and last the command itself. A command keeps on while demand and interlocks
 * hold and no trip is set, and comes on if the permissives hold too.
 */
final class LogicLowering {
  private final Parts parts;
  private final Meanings meanings;
  private final Map<String, Integer> memories = new HashMap<>();
  private final TermMemory memory;

  /** Where the trips of a command begin among those of its equipment, which may have several. */
  private final Map<Drive, Integer> firstTrip = new IdentityHashMap<>();

  private final Set<Integer> retained = new HashSet<>();
  private final @Nullable Expr reset;

  /**
   * @param reset the panel button that resets trips with none of their own; {@code null} for none
   */
  LogicLowering(Parts parts, Meanings meanings, @Nullable Expr reset) {
    this.parts = parts;
    this.meanings = meanings;
    this.reset = reset;
    this.memory = new TermMemory(parts, meanings);
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
        case Drive d -> {
          int count = meanings.tripsOf(d.equipment()).size();
          firstTrip.put(d, count);
          for (Guard g : d.guards()) {
            if (g.kind() == Inhibit.Kind.TRIP) {
              String name = d.equipment().name() + ".trip" + ++count;
              meanings.trip(
                  d.equipment(),
                  parts.flag(name, Role.MEMORY, "clear", "tripped", g.text(), g.span()));
            }
          }
        }
      }
    }
  }

  private int flag(Symbol symbol, String text, Statement at) {
    int id = parts.flag(symbol.name().text(), Role.MEMORY, "off", "on", text, at.span());
    memories.put(symbol.name().text(), id);
    meanings.truth(symbol, Expr.is(id, 1));
    return id;
  }

  /** Latches that keep their value without power. */
  Set<Integer> retained() {
    return retained;
  }

  void lower(List<Statement> program) {
    for (Statement s : program) {
      switch (s) {
        case SetLatch l -> latch(l);
        case SetSignal g ->
            assign(memory(g.signal()), term(g.value(), g.signal().name().text()), s);
        case Drive d -> drive(d);
      }
    }
  }

  private int memory(Symbol symbol) {
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
    String tag = d.equipment().name().text();
    Expr demand = demand(d, term(d.demand(), tag));
    var conditions = new ArrayList<Expr>();
    var resets = new ArrayList<@Nullable Expr>();
    for (Guard g : d.guards()) {
      conditions.add(term(g.condition(), tag));
      resets.add(g.resetBy() == null ? reset : term(g.resetBy(), tag));
    }
    int command = meanings.commandOf(d.equipment(), d.command());
    var holding = new ArrayList<Expr>(List.of(demand));
    var starting = new ArrayList<Expr>();
    int trips = firstTrip.getOrDefault(d, 0);
    for (int i = 0; i < d.guards().size(); i++) {
      Guard g = d.guards().get(i);
      Expr condition = conditions.get(i);
      parts.inhibits.add(new Inhibit(g.kind(), command, g.text(), condition, g.span()));
      switch (g.kind()) {
        case PERMISSIVE -> starting.add(condition);
        case INTERLOCK -> holding.add(condition);
        case TRIP -> {
          int trip = meanings.tripsOf(d.equipment()).get(trips++);
          Expr by = resets.get(i);
          Expr kept = by == null ? Expr.is(trip, 1) : Expr.all(Expr.is(trip, 1), Expr.not(by));
          parts.program.add(new Assignment(trip, Expr.any(condition, kept), g.span()));
          holding.add(Expr.not(Expr.is(trip, 1)));
        }
      }
    }
    holding.add(starting.isEmpty() ? Expr.TRUE : Expr.any(Expr.is(command, 1), Expr.all(starting)));
    parts.program.add(new Assignment(command, Expr.all(holding), d.span()));
  }

  /**
   * The demand is evaluated before the trips of its own command. Only where it reads one of them
   * can that be told from evaluating it afterwards, and only there is it kept in a variable.
   */
  private Expr demand(Drive d, Expr value) {
    boolean[] readsOwnTrip = {false};
    d.demand()
        .each(
            t ->
                readsOwnTrip[0] |=
                    t instanceof Term.Tripped r
                        && r.equipment().name().equals(d.equipment().name()));
    if (!readsOwnTrip[0]) {
      return value;
    }
    boolean only = d.equipment().kind().commands().size() == 1;
    String name = d.equipment().name() + (only ? ".demand" : ".demand." + d.verb());
    int id =
        parts.flag(name, Role.MEMORY, "off", "on", "demand for " + d.equipment().name(), d.span());
    parts.program.add(new Assignment(id, value, d.span()));
    return Expr.is(id, 1);
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
