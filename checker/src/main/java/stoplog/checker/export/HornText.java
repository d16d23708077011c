package stoplog.checker.export;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collection;
import java.util.List;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * A plant model and one claim as constrained Horn clauses in SMT-LIB 2.6, logic HORN.
 *
 * <p>The one relation, {@code plant reached}, is over all variables that some step may change, the
 * readings of all clocks in quanta (0 while a clock does not run), how many changes the controller has
 * not seen and for how long, how long the claim's condition has held, and how many faults there were;
 * what means nothing for this plant and claim is left out. The clauses say what it holds at least: the
 * starts, and what follows by each field change and by a scan, after as much time as may pass before
 * it. The last one says that the claim's condition has never held for too long. So {@code sat} means
 * that the condition cannot be reached, {@code unsat} that it can.
 *
 * <p>Text linear in the model times its number of changes: each clause names every variable.
 *
 * <p><b>With some variables kept and all others hidden</b> every run of the plant, with the hidden
 * variables struck out, is a run of the clauses, so that {@code sat} holds for the plant too. Each
 * clause may choose the values of what is hidden for itself, and after each assignment anew: among
 * them are those of the run. Changes of hidden variables alone are one clause that leaves those
 * variables with any values; a scan may come at any time, for the sake of something hidden. Of the
 * clocks those are kept whose condition reads nothing hidden. The changes counted as unseen are those
 * of kept variables, never more than there are, so that they call for a scan no sooner and hold back
 * no change that could happen; so are the faults. Text linear in what is kept times the number of its
 * changes.
 */
public final class HornText {
  private final Model model;
  private final Claim claim;
  private final Scope scope;
  private final Sight sight;
  private final List<Variable> variables;
  private final List<Clock> clocks;
  private final boolean scans;
  private final boolean waits;
  private final boolean faults;
  private final StringBuilder out = new StringBuilder();

  private HornText(Model model, Claim claim, Scope scope) {
    if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
      throw new IllegalArgumentException(claim.id() + " asks for what can always be");
    }
    this.model = model;
    this.claim = claim;
    this.scope = scope;
    this.sight = new Sight(model, claim);
    this.variables = scope.kept();
    this.clocks = model.clocks().stream().filter(c -> scope.tells(c) && mayRun(c)).toList();
    this.scans = !model.controller().program().isEmpty();
    this.waits = scans && model.controller().reactionQuanta() > 0;
    this.faults = claim.faultBudget() > 0;
  }

  /**
   * The clauses of one claim of a model.
   *
   * @param claim of any kind but {@link Claim.Kind#ALWAYS_CAN}, which no such clauses can ask about
   */
  public static String of(Model model, Claim claim) {
    return new HornText(model, claim, Scope.whole(model, claim)).write();
  }

  /**
   * The clauses over these variables alone and what the claim itself remembers.
   *
   * @param claim as above
   * @param kept names of variables
   * @throws IllegalArgumentException if the model has no variable of such a name
   */
  public static String keeping(Model model, Claim claim, Collection<String> kept) {
    return new HornText(model, claim, Scope.keeping(model, claim, kept)).write();
  }

  private String write() {
    line("; " + model.name() + ", " + claim.id() + (claim.text().isEmpty() ? "" : ": " + claim.text()));
    meaning();
    line("; Times are numbers of " + model.quantumMicros() + " microseconds.");
    line("(set-logic HORN)");
    var sorts = new ArrayList<String>();
    variables.forEach(v -> sorts.add(Smt.sort(v)));
    clocks.forEach(c -> sorts.add("Real"));
    sorts.addAll(others("Int", "Real", "Real", "Int"));
    line("(declare-fun |plant reached| (" + String.join(" ", sorts) + ") Bool)");
    start();
    model.changes().stream().filter(c -> claim.admits(c) && scope.tells(c)).forEach(this::change);
    if (scope.changesElsewhere()) {
      changeElsewhere();
    }
    if (scans) {
      scan();
    }
    query();
    line("(check-sat)");
    return out.toString();
  }

  private void meaning() {
    if (!scope.hides()) {
      line("; unsat: the condition of the claim can be reached. sat: it cannot.");
      return;
    }
    line("; sat: the condition of the claim cannot be reached, nor can it by the whole plant.");
    line("; unsat: it can as far as the variables below tell, which says nothing of the plant.");
    line("; Any other variable has any value whenever it is read, and its times hold nothing back.");
    line("; Kept:");
    variables.forEach(v -> line(";   " + v.name()));
  }

  private void line(String text) {
    out.append(text).append('\n');
  }

  // The clauses

  private void start() {
    var terms = new RuleTerms(scope);
    var given = new ArrayList<String>();
    variables.forEach(v -> given.add(Smt.among(Smt.symbol(v.name()), v, v.initial())));
    terms.assign(model.start());
    terms.assign(model.reactions());
    terms.assign(claim.monitors());
    terms.free().stream()
        .filter(RuleTerms.Free::untouched)
        .forEach(f -> given.add(Smt.among(f.name(), f.variable(), f.variable().initial())));
    String due = terms.named("due first", Smt.choice(powered(terms), "1", "0"));
    var readings = new ArrayList<String>();
    clocks.forEach(c -> readings.add("0.0"));
    String head = reached(terms, readings, others(due, "0.0", "0.0", "0"));
    clause("the start", variables(), terms, given, head);
  }

  private void change(FieldChange change) {
    var terms = new RuleTerms(scope);
    List<String> given = before(terms);
    given.add(terms.bool(change.guard()));
    FieldChange.Timing timing = change.timing();
    Clock clock = timing == null ? null : model.clocks().get(timing.clock());
    if (clock != null && scope.tells(clock)) {
      String name = reading(clock);
      given.add(terms.bool(clock.running()));
      given.add(Smt.from(name, timing.earliest()));
      if (timing.latest() != null) {
        given.add(Smt.upTo(name, timing.latest()));
      }
    }
    boolean fault = change.cause() == FieldChange.Cause.FAULT;
    if (fault) {
      given.add("(< |faults so far| " + claim.faultBudget() + ")");
    }
    String poweredBefore = terms.named("had power", powered(terms));
    terms.assign(change.effects());
    changed(change.text(), terms, given, poweredBefore, fault);
  }

  /** A change that assigns nothing kept, but may lead to anything in what answers to it at once. */
  private void changeElsewhere() {
    var terms = new RuleTerms(scope);
    List<String> given = before(terms);
    String poweredBefore = terms.named("had power", powered(terms));
    terms.changeHidden();
    changed("something hidden changes", terms, given, poweredBefore, false);
  }

  private void changed(
      String text, RuleTerms terms, List<String> given, String poweredBefore, boolean fault) {
    terms.assign(model.reactions());
    terms.assign(claim.monitors());
    String concerned = terms.named("concerned", differs(sight.watched(), terms));
    String powered = terms.named("has power", powered(terms));
    int coincident = model.controller().coincident();
    if (scans && !waits) {
      String full = "(= |scan due| " + coincident + ")";
      given.add(Smt.not(Smt.all(List.of(full, powered, concerned))));
    }
    String more = waits ? "1" : "(ite (< |scan due| " + coincident + ") (+ |scan due| 1) |scan due|)";
    String counted = Smt.choice(concerned, more, "|scan due|");
    String due = Smt.choice(powered, Smt.choice(poweredBefore, counted, "1"), "0");
    String next = scans ? terms.named("due next", due) : "0";
    String waited = "(ite (or (= " + next + " 0) (= |scan due| 0)) 0.0 |scan waited|)";
    String faultsNow = fault ? "(+ |faults so far| 1)" : "|faults so far|";
    String head = reached(terms, readings(terms), others(next, waited, held(terms), faultsNow));
    clause(text, all(), terms, given, head);
  }

  private void scan() {
    var terms = new RuleTerms(scope);
    List<String> given = before(terms);
    if (!scope.hides()) {
      given.add("(> |scan due| 0)");
    }
    given.add(powered(terms));
    terms.assign(model.controller().program());
    terms.assign(model.reactions());
    terms.assign(claim.monitors());
    String another = Smt.choice(differs(sight.visible(), terms), "1", "0");
    String next = terms.named("due next", Smt.choice(powered(terms), another, "0"));
    String head =
        reached(terms, readings(terms), others(next, "0.0", held(terms), "|faults so far|"));
    clause("the controller scans", all(), terms, given, head);
  }

  private void query() {
    var terms = new RuleTerms(scope);
    List<String> given = before(terms);
    given.add(terms.bool(claim.condition()));
    given.add("(> |claim held| " + claim.forQuanta() + ".0)");
    clause("the claim", all(), terms, given, "false");
  }

  // Their parts

  private String powered(RuleTerms terms) {
    return terms.bool(model.controller().powered());
  }

  /** Whether a clock ever runs: those of faults that the claim does not admit never do. */
  private boolean mayRun(Clock clock) {
    return !new RuleTerms(scope).bool(clock.running()).equals("false");
  }

  /** The readings after a step: a clock that still runs runs on, any other stands at 0. */
  private List<String> readings(RuleTerms after) {
    var readings = new ArrayList<String>();
    for (Clock c : clocks) {
      // One that did not run stands at 0 anyway.
      readings.add(Smt.choice(after.bool(c.running()), reading(c), "0.0"));
    }
    return readings;
  }

  private String held(RuleTerms after) {
    return Smt.choice(after.bool(claim.condition()), "|claim held|", "0.0");
  }

  private static String reading(Clock clock) {
    return Smt.symbol("clock " + clock.id() + ", " + clock.name());
  }

  private static String earlier(Clock clock) {
    return Smt.symbol("clock " + clock.id() + " earlier");
  }

  private String differs(BitSet among, RuleTerms after) {
    var differing = new ArrayList<String>();
    for (Variable v : variables) {
      String old = Smt.symbol(v.name());
      if (among.get(v.id()) && !after.value(v).equals(old)) {
        differing.add("(not (= " + old + " " + after.value(v) + "))");
      }
    }
    return Smt.any(differing);
  }

  /** Of what is told beside variables and clocks that which means something here. */
  private List<String> others(String due, String waited, String held, String faultsSoFar) {
    var told = new ArrayList<String>();
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

  /**
   * What is known before a step, when some time may have passed since the last: the relation as it was
   * then, and what holds wherever it does, to spare the search for it.
   */
  private List<String> before(RuleTerms terms) {
    var readings = new ArrayList<String>();
    clocks.forEach(c -> readings.add(earlier(c)));
    List<String> others =
        others("|scan due|", "|scan waited earlier|", "|claim held earlier|", "|faults so far|");
    var known = new ArrayList<>(List.of(reached(terms, readings, others), "(<= 0.0 |time passed|)"));
    variables.stream()
        .filter(v -> !Smt.isBool(v))
        .forEach(v -> known.add(Smt.among(Smt.symbol(v.name()), v, v.domain())));
    clocks.forEach(c -> runsOn(c, terms, known));
    if (scans) {
      scanWaits(terms, known);
    }
    String holds = terms.bool(claim.condition());
    terms.define("|claim held|", Smt.choice(holds, later("|claim held earlier|"), "0.0"));
    known.add("(<= 0.0 |claim held earlier|)");
    if (!scope.hides(claim.condition())) {
      known.add(Smt.onlyIf(holds, "|claim held earlier|"));
    }
    if (faults) {
      known.add(Smt.upTo("|faults so far|", claim.faultBudget()));
    }
    return known;
  }

  private void runsOn(Clock clock, RuleTerms terms, List<String> known) {
    String earlier = earlier(clock);
    String running = terms.named("clock " + clock.id() + " runs", terms.bool(clock.running()));
    terms.define(reading(clock), Smt.choice(running, later(earlier), earlier));
    known.add("(<= 0.0 " + earlier + ")");
    known.add(Smt.onlyIf(running, earlier));
    Bound limit = clock.limit();
    if (limit != null) {
      known.add("(<= " + earlier + " " + limit.quanta() + ".0)");
      String inTime = Smt.upTo(reading(clock), limit);
      known.add(Smt.any(List.of("(= |time passed| 0.0)", Smt.not(running), inTime)));
    }
  }

  private void scanWaits(RuleTerms terms, List<String> known) {
    known.add(Smt.upTo("|scan due|", waits ? 1 : model.controller().coincident()));
    if (waits) {
      terms.define("|scan waited|", "(ite (= |scan due| 0) 0.0 " + later("|scan waited earlier|") + ")");
      known.add("(<= 0.0 |scan waited earlier|)");
      known.add(Smt.onlyIf("(= |scan due| 1)", "|scan waited earlier|"));
      known.add("(<= |scan waited| " + model.controller().reactionQuanta() + ".0)");
    } else {
      known.add("(or (= |time passed| 0.0) (= |scan due| 0))");
    }
  }

  private static String later(String reading) {
    return "(+ " + reading + " |time passed|)";
  }

  private String reached(RuleTerms terms, List<String> readings, List<String> others) {
    var arguments = new ArrayList<String>(List.of("|plant reached|"));
    variables.forEach(v -> arguments.add(terms.value(v)));
    arguments.addAll(readings);
    arguments.addAll(others);
    return "(" + String.join(" ", arguments) + ")";
  }

  private List<String> variables() {
    var list = new ArrayList<String>();
    variables.forEach(v -> list.add("(" + Smt.symbol(v.name()) + " " + Smt.sort(v) + ")"));
    return list;
  }

  private List<String> all() {
    List<String> list = variables();
    clocks.forEach(c -> list.add("(" + earlier(c) + " Real)"));
    list.addAll(
        others(
            "(|scan due| Int)", "(|scan waited earlier| Real)", "(|claim held earlier| Real)",
            "(|faults so far| Int)"));
    list.add("(|time passed| Real)");
    return list;
  }

  /** What follows from what is given, for all values; nothing if it can never be given. */
  private void clause(
      String comment, List<String> all, RuleTerms terms, List<String> given, String head) {
    var conditions = new ArrayList<>(given);
    var names = new ArrayList<>(all);
    for (RuleTerms.Free f : terms.free()) {
      names.add("(" + f.name() + " " + Smt.sort(f.variable()) + ")");
      conditions.add(Smt.among(f.name(), f.variable(), f.variable().domain()));
    }
    conditions.addAll(terms.limits());
    conditions.removeIf("true"::equals);
    if (conditions.contains("false")) {
      return;
    }
    line("; " + comment.replaceAll("\\s+", " "));
    String body = "(=> (and true " + String.join("\n      ", conditions) + ")\n    " + head + ")";
    String whole = terms.within(body);
    String forAll = "(forall (" + String.join(" ", names) + ")\n  " + whole + ")";
    line("(assert " + (names.isEmpty() ? whole : forAll) + ")");
  }
}
