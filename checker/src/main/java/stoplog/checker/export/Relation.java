package stoplog.checker.export;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.function.Function;
import java.util.stream.IntStream;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * The one relation of the clauses: over all variables that are kept, the groups, the readings of all
 * clocks that are told (0 while a clock does not run), how many changes the controller has not seen and
 * for how long, how long the claim's condition has held, and how many faults there were; what means
 * nothing for the plant and claim is left out.
 *
 * <p>It holds right after each step, and time passes before the next: then it is smallest. Or it holds
 * after each step with whatever time passes then, as the set of a proof does; that set need not hold
 * what more time leads to from its states, so that a step which changes nothing is no reason for more.
 */
final class Relation {
  /** How many changes the controller has not seen. */
  static final String DUE = "|scan due|";

  /** For how long it has not seen them. */
  static final String WAITED = "|scan waited|";

  /** How long the claim's condition has held. */
  static final String HELD = "|claim held|";

  /** How many faults there were. */
  static final String FAULTS = "|faults so far|";

  private static final String EARLIER_WAITED = "|scan waited earlier|";
  private static final String EARLIER_HELD = "|claim held earlier|";
  private static final String PASSED = "|time passed|";

  private final String symbol;
  private final Model model;
  private final Claim claim;
  private final Scope scope;
  private final List<Variable> variables;
  private final List<Clock> clocks;
  final boolean scans;
  final boolean waits;
  private final boolean faults;
  private final boolean timeAfter;

  /** @param timeAfter whether time passes after each step, not before it */
  Relation(String name, Claim claim, Scope scope, boolean timeAfter) {
    this.timeAfter = timeAfter;
    this.symbol = Smt.symbol(name);
    this.model = scope.model();
    this.claim = claim;
    this.scope = scope;
    this.variables = scope.kept();
    this.clocks = model.clocks().stream().filter(c -> scope.tells(c.running()) && mayRun(c)).toList();
    this.scans = !model.controller().program().isEmpty();
    this.waits = scans && model.controller().reactionQuanta() > 0;
    this.faults = claim.faultBudget() > 0;
  }

  /** Whether a clock ever runs: those of faults that the claim does not admit never do. */
  private boolean mayRun(Clock clock) {
    return !new RuleTerms(scope).bool(clock.running()).equals("false");
  }

  String symbol() {
    return symbol;
  }

  List<Clock> clocks() {
    return clocks;
  }

  /** What it is a relation over, in order: of each the name and the sort. A new list. */
  List<Smt.Name> parameters() {
    return parameters(Relation::reading, WAITED, HELD);
  }

  private List<Smt.Name> parameters(Function<Clock, String> reading, String waited, String held) {
    List<Smt.Name> list = variables();
    groups().forEach(g -> list.add(new Smt.Name(g, "Bool")));
    clocks.forEach(c -> list.add(new Smt.Name(reading.apply(c), "Real")));
    list.addAll(
        others(
            new Smt.Name(DUE, "Int"), new Smt.Name(waited, "Real"), new Smt.Name(held, "Real"),
            new Smt.Name(FAULTS, "Int")));
    return list;
  }

  /** The sorts of those. */
  List<String> sorts() {
    return parameters().stream().map(Smt.Name::sort).toList();
  }

  /** The names that a step speaks of, with their sorts: what was so before it and before time passed. */
  List<Smt.Name> before() {
    List<Smt.Name> list =
        timeAfter ? parameters() : parameters(Relation::earlier, EARLIER_WAITED, EARLIER_HELD);
    list.add(new Smt.Name(PASSED, "Real"));
    return list;
  }

  /** The names that a start speaks of, with their sorts. */
  List<Smt.Name> beforeStart() {
    List<Smt.Name> list = variables();
    if (timeAfter) {
      list.add(new Smt.Name(PASSED, "Real"));
    }
    return list;
  }

  private List<Smt.Name> variables() {
    var list = new ArrayList<Smt.Name>();
    variables.forEach(v -> list.add(new Smt.Name(Smt.symbol(v.name()), Smt.sort(v))));
    return list;
  }

  static String group(int index) {
    return "|group " + (index + 1) + "|";
  }

  static String reading(Clock clock) {
    return Smt.symbol("clock " + clock.id() + ", " + clock.name());
  }

  private static String earlier(Clock clock) {
    return Smt.symbol("clock " + clock.id() + " earlier");
  }

  /**
   * What is known before a step: the relation as it was after the last, and what holds wherever it does,
   * to spare the search for it. If time passes before the step, it has passed now.
   */
  List<String> known(RuleTerms terms) {
    var readings = new ArrayList<String>();
    clocks.forEach(c -> readings.add(timeAfter ? reading(c) : earlier(c)));
    String waited = timeAfter ? WAITED : EARLIER_WAITED;
    String held = timeAfter ? HELD : EARLIER_HELD;
    var known = new ArrayList<String>();
    known.add(holding(terms, groups(), readings, others(DUE, waited, held, FAULTS)));
    known.add("(<= 0.0 |time passed|)");
    variables.stream()
        .filter(v -> !Smt.isBool(v))
        .forEach(v -> known.add(Smt.among(Smt.symbol(v.name()), v, v.domain())));
    for (int g = 0; g < scope.groups().size(); g++) {
      known.add(Smt.equal(group(g), terms.holds(scope.groups().get(g))));
    }
    for (int i = 0; i < clocks.size(); i++) {
      runsOn(clocks.get(i), readings.get(i), terms, known);
    }
    if (scans) {
      scanWaits(terms, waited, known);
    }
    String holds = terms.bool(claim.condition());
    if (!timeAfter) {
      terms.define(HELD, Smt.choice(holds, later(held), "0.0"));
    }
    known.add("(<= 0.0 " + held + ")");
    if (scope.tells(claim.condition())) {
      known.add(Smt.onlyIf(holds, held));
    }
    if (faults) {
      known.add(Smt.upTo(FAULTS, claim.faultBudget()));
    }
    return known;
  }

  private void runsOn(Clock clock, String stood, RuleTerms terms, List<String> known) {
    String running = terms.named("clock " + clock.id() + " runs", terms.bool(clock.running()));
    if (!timeAfter) {
      terms.define(reading(clock), Smt.choice(running, later(stood), stood));
    }
    known.add("(<= 0.0 " + stood + ")");
    known.add(Smt.onlyIf(running, stood));
    if (clock.limit() != null) {
      known.add("(<= " + stood + " " + clock.limit().quanta() + ".0)");
      if (!timeAfter) {
        known.add(inTime(running, reading(clock), clock.limit()));
      }
    }
  }

  /** A clock that runs holds time back at its limit. */
  private static String inTime(String running, String reading, Bound limit) {
    return Smt.any(List.of("(= |time passed| 0.0)", Smt.not(running), Smt.upTo(reading, limit)));
  }

  private void scanWaits(RuleTerms terms, String waited, List<String> known) {
    known.add(Smt.upTo(DUE, waits ? 1 : model.controller().coincident()));
    if (waits) {
      if (!timeAfter) {
        terms.define(WAITED, Smt.choice("(= " + DUE + " 0)", "0.0", later(waited)));
      }
      known.add("(<= 0.0 " + waited + ")");
      known.add(Smt.onlyIf("(= " + DUE + " 1)", waited));
      known.add("(<= " + WAITED + " " + model.controller().reactionQuanta() + ".0)");
    } else if (!timeAfter) {
      known.add("(or (= " + PASSED + " 0.0) (= " + DUE + " 0))");
    }
  }

  private static String later(String reading) {
    return "(+ " + reading + " |time passed|)";
  }

  /**
   * That it holds at a start.
   *
   * @param given what has to be so is added
   */
  String atStart(RuleTerms after, String due, List<String> given) {
    if (timeAfter) {
      given.add("(<= 0.0 |time passed|)");
    }
    return since(after, clock -> "0.0", due, "0.0", "0.0", "0", given);
  }

  /**
   * That it holds after a step: a clock that still runs runs on, any other stands at 0.
   *
   * @param waited how long a scan has been due, if one is
   * @param restarts whether a scan that is due is another one
   * @param given what has to be so is added
   */
  String after(
      RuleTerms after, String due, String waited, boolean restarts, String faultsNow,
      List<String> given) {
    if (timeAfter) {
      var changes = new ArrayList<String>();
      var all = new BitSet();
      all.set(0, model.variables().size());
      changes.add(differs(all, after));
      changes.add(scans && restarts ? "(> " + due + " 0)" : Smt.FALSE);
      changes.add(scans ? "(not (= " + due + " " + DUE + "))" : Smt.FALSE);
      changes.add(faults && !faultsNow.equals(FAULTS) ? Smt.TRUE : Smt.FALSE);
      given.add(Smt.any(changes));
    }
    return since(after, Relation::reading, due, waited, HELD, faultsNow, given);
  }

  /** @param stands where a clock stands right after a step if it runs */
  private String since(
      RuleTerms after, Function<Clock, String> stands, String due, String waited, String held,
      String faultsNow, List<String> given) {
    var readings = new ArrayList<String>();
    for (Clock c : clocks) {
      // One that did not run stands at 0 anyway.
      String running = after.bool(c.running());
      String now = timeAfter ? later(stands.apply(c)) : stands.apply(c);
      readings.add(Smt.choice(running, now, "0.0"));
      if (timeAfter && c.limit() != null) {
        given.add(inTime(running, now, c.limit()));
      }
    }
    String holds = after.bool(claim.condition());
    String heldNow = Smt.choice(holds, timeAfter ? later(held) : held, "0.0");
    String waitedNow = waited;
    if (timeAfter && waits) {
      waitedNow = Smt.choice("(= " + due + " 0)", "0.0", later(waited));
      given.add("(<= " + waitedNow + " " + model.controller().reactionQuanta() + ".0)");
    } else if (timeAfter && scans) {
      given.add("(or (= |time passed| 0.0) (= " + due + " 0))");
    }
    return holding(after, groups(after), readings, others(due, waitedNow, heldNow, faultsNow));
  }

  private List<String> groups() {
    return IntStream.range(0, scope.groups().size()).mapToObj(Relation::group).toList();
  }

  private List<String> groups(RuleTerms after) {
    return scope.groups().stream().map(after::holds).toList();
  }

  /** Of what is told beside variables and clocks that which means something here. */
  private <T> List<T> others(T due, T waited, T held, T faultsSoFar) {
    var told = new ArrayList<T>();
    if (scans) {
      told.add(due);
    }
    if (waits) {
      told.add(waited);
    }
    told.add(held);
    if (faults) {
      told.add(faultsSoFar);
    }
    return told;
  }

  private String holding(
      RuleTerms terms, List<String> groups, List<String> readings, List<String> others) {
    var arguments = new ArrayList<String>(List.of(symbol));
    variables.forEach(v -> arguments.add(terms.value(v)));
    arguments.addAll(groups);
    arguments.addAll(readings);
    arguments.addAll(others);
    return "(" + String.join(" ", arguments) + ")";
  }

  /** Whether a step has changed one of these, as far as the relation tells. */
  String differs(BitSet among, RuleTerms after) {
    var differing = new ArrayList<String>();
    for (Variable v : variables) {
      String old = Smt.symbol(v.name());
      if (among.get(v.id()) && !after.value(v).equals(old)) {
        differing.add("(not (= " + old + " " + after.value(v) + "))");
      }
    }
    for (int g = 0; g < scope.groups().size(); g++) {
      Scope.Group group = scope.groups().get(g);
      // A group does not turn over unless one of its members changes.
      if (group.members().stream().allMatch(m -> among.get(m.variable().id()))) {
        differing.add("(not (= " + group(g) + " " + after.holds(group) + "))");
      }
    }
    return Smt.any(differing);
  }

  /** That the claim's condition has held for too long. */
  String tooLong() {
    return "(> " + HELD + " " + claim.forQuanta() + ".0)";
  }

  /** Whether faults are counted. */
  boolean countsFaults() {
    return faults;
  }

  /** Whether the controller has power. */
  String powered(RuleTerms terms) {
    return terms.bool(model.controller().powered());
  }
}
