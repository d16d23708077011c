package stoplog.checker.export;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;

/**
 * A plant model and one claim as constrained Horn clauses in SMT-LIB 2.6, logic HORN.
 *
 * <p>The one relation, {@code reached}, is over all variables, the readings of all clocks in quanta (0
 * while a clock does not run), how many changes the controller has not seen and for how long, how long
 * the claim's condition has held, and how many faults there were. The clauses say what it holds at
 * least: the starts, and what follows by time passing, by each field change and by a scan. The last
 * one says that the claim's condition has never held for too long. So {@code sat} means that the
 * condition cannot be reached, {@code unsat} that it can.
 *
 * <p>Text linear in the model times its number of changes: each clause names every variable.
 */
public final class HornText {
  private final Model model;
  private final Claim claim;
  private final List<Variable> variables = new ArrayList<>();
  private final BitSet visible = new BitSet();
  private final BitSet watched = new BitSet();
  private final StringBuilder out = new StringBuilder();

  private HornText(Model model, Claim claim) {
    this.model = model;
    this.claim = claim;
    var own = new BitSet();
    claim.monitors().forEach(a -> own.set(a.variable()));
    for (Variable v : model.variables()) {
      // What other claims remember stays as it is and is read by them alone.
      if (v.role() != Role.MONITOR || own.get(v.id())) {
        variables.add(v);
      }
    }
    sight();
  }

  /**
   * The clauses of one claim of a model.
   *
   * @param claim of any kind but {@link Claim.Kind#ALWAYS_CAN}, which no such clauses can ask about
   */
  public static String of(Model model, Claim claim) {
    if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
      throw new IllegalArgumentException(claim.id() + " asks for what can always be");
    }
    return new HornText(model, claim).write();
  }

  private String write() {
    line("; " + model.name() + ", " + claim.id() + (claim.text().isEmpty() ? "" : ": " + claim.text()));
    line("; unsat: the condition of the claim can be reached. sat: it cannot.");
    line("; Times are numbers of " + model.quantumMicros() + " microseconds.");
    line("(set-logic HORN)");
    var sorts = new ArrayList<String>();
    variables.forEach(v -> sorts.add(RuleTerms.isBool(v) ? "Bool" : "Int"));
    model.clocks().forEach(c -> sorts.add("Real"));
    sorts.addAll(List.of("Int", "Real", "Real", "Int"));
    line("(declare-fun |plant reached| (" + String.join(" ", sorts) + ") Bool)");
    start();
    time();
    model.changes().forEach(this::change);
    scan();
    query();
    line("(check-sat)");
    return out.toString();
  }

  private void line(String text) {
    out.append(text).append('\n');
  }

  // The clauses

  private void start() {
    var terms = new RuleTerms(model);
    var given = new ArrayList<String>();
    for (Variable v : variables) {
      given.add(among(v, v.initial()));
    }
    terms.assign(model.start());
    terms.assign(model.reactions());
    terms.assign(claim.monitors());
    boolean program = !model.controller().program().isEmpty();
    String due = program ? "(ite " + terms.bool(model.controller().powered()) + " 1 0)" : "0";
    var clocks = new ArrayList<String>();
    model.clocks().forEach(c -> clocks.add("0.0"));
    String head = reached(terms, clocks, terms.named("due first", due), "0.0", "0.0", "0");
    clause("the start", variables(false), given, terms.within(head));
  }

  private void time() {
    var before = new RuleTerms(model);
    var given = new ArrayList<String>();
    given.add(reached());
    given.add("(> |time passing| 0.0)");
    var clocks = new ArrayList<String>();
    for (Clock c : model.clocks()) {
      String name = clockName(c);
      String running = before.named(c.name() + " runs", before.bool(c.running()));
      String later = before.named(c.name() + " later", "(ite " + running + " (+ " + name + " |time passing|) " + name + ")");
      Bound limit = c.limit();
      if (limit != null) {
        given.add("(or (not " + running + ") " + upTo(later, limit) + ")");
      }
      clocks.add(later);
    }
    String reaction = model.controller().reactionQuanta() + ".0";
    given.add("(or (= |scan due| 0) (<= (+ |scan waited| |time passing|) " + reaction + "))");
    String waited = "(ite (= |scan due| 0) 0.0 (+ |scan waited| |time passing|))";
    String held =
        "(ite " + before.bool(claim.condition()) + " (+ |claim held| |time passing|) 0.0)";
    String head = reached(before, clocks, "|scan due|", waited, held, "|faults so far|");
    List<String> all = variables(true);
    all.add("(|time passing| Real)");
    bound(all, before.within("(=> (and " + String.join("\n      ", given) + ")\n    " + head + ")"), "time passes");
  }

  private void change(FieldChange change) {
    if (!claim.admits(change)) {
      return;
    }
    var terms = new RuleTerms(model);
    var given = new ArrayList<String>();
    given.add(reached());
    given.add(terms.bool(change.guard()));
    FieldChange.Timing timing = change.timing();
    if (timing != null) {
      Clock clock = model.clocks().get(timing.clock());
      String name = clockName(clock);
      given.add(terms.bool(clock.running()));
      String quanta = timing.earliest().quanta() + ".0";
      given.add("(" + (timing.earliest().closed() ? ">= " : "> ") + name + " " + quanta + ")");
      if (timing.latest() != null) {
        given.add(upTo(name, timing.latest()));
      }
    }
    boolean fault = change.cause() == FieldChange.Cause.FAULT;
    if (fault) {
      given.add("(< |faults so far| " + claim.faultBudget() + ")");
    }
    String poweredBefore = terms.named("had power", terms.bool(model.controller().powered()));
    List<String> ran = running(terms);
    terms.assign(change.effects());
    terms.assign(model.reactions());
    terms.assign(claim.monitors());
    String concerned = terms.named("concerned", differs(watched, terms));
    String powered = terms.named("has power", terms.bool(model.controller().powered()));
    int coincident = model.controller().coincident();
    boolean immediate = model.controller().reactionQuanta() == 0;
    if (immediate) {
      given.add("(not (and (= |scan due| " + coincident + ") " + powered + " " + concerned + "))");
    }
    String more = immediate ? "(ite (< |scan due| " + coincident + ") (+ |scan due| 1) |scan due|)" : "1";
    String due = due(powered, poweredBefore, "(ite " + concerned + " " + more + " |scan due|)");
    String next = terms.named("due next", due);
    String waited = "(ite (or (= " + next + " 0) (= |scan due| 0)) 0.0 |scan waited|)";
    String faults = fault ? "(+ |faults so far| 1)" : "|faults so far|";
    String head = reached(terms, clocks(terms, ran), next, waited, held(terms), faults);
    bound(
        variables(true),
        terms.within("(=> (and " + String.join("\n      ", given) + ")\n    " + head + ")"),
        change.text());
  }

  private void scan() {
    if (model.controller().program().isEmpty()) {
      return;
    }
    var terms = new RuleTerms(model);
    var given = new ArrayList<String>();
    given.add(reached());
    given.add("(> |scan due| 0)");
    given.add(terms.bool(model.controller().powered()));
    List<String> ran = running(terms);
    terms.assign(model.controller().program());
    terms.assign(model.reactions());
    terms.assign(claim.monitors());
    String another = "(ite " + differs(visible, terms) + " 1 0)";
    String powered = terms.bool(model.controller().powered());
    String next = terms.named("due next", "(ite " + powered + " " + another + " 0)");
    String head = reached(terms, clocks(terms, ran), next, "0.0", held(terms), "|faults so far|");
    bound(
        variables(true),
        terms.within("(=> (and " + String.join("\n      ", given) + ")\n    " + head + ")"),
        "the controller scans");
  }

  private void query() {
    var terms = new RuleTerms(model);
    String condition = terms.bool(claim.condition());
    String body =
        "(=> (and " + reached() + "\n      " + condition + "\n      (> |claim held| "
            + claim.forQuanta() + ".0))\n    false)";
    bound(variables(true), terms.within(body), "the claim");
  }

  // Their parts

  private String due(String powered, String poweredBefore, String counted) {
    if (model.controller().program().isEmpty()) {
      return "0";
    }
    return "(ite " + powered + " (ite " + poweredBefore + " " + counted + " 1) 0)";
  }

  private List<String> running(RuleTerms terms) {
    var ran = new ArrayList<String>();
    for (Clock c : model.clocks()) {
      ran.add(terms.named(c.name() + " ran", terms.bool(c.running())));
    }
    return ran;
  }

  /** The readings after a step: a clock that still runs runs on, any other stands at 0. */
  private List<String> clocks(RuleTerms after, List<String> ran) {
    var readings = new ArrayList<String>();
    for (Clock c : model.clocks()) {
      String runsOn = "(and " + ran.get(c.id()) + " " + after.bool(c.running()) + ")";
      readings.add("(ite " + runsOn + " " + clockName(c) + " 0.0)");
    }
    return readings;
  }

  private String held(RuleTerms after) {
    return "(ite " + after.bool(claim.condition()) + " |claim held| 0.0)";
  }

  private static String clockName(Clock clock) {
    return RuleTerms.symbol("clock " + clock.id() + ", " + clock.name());
  }

  private static String upTo(String reading, Bound limit) {
    return "(" + (limit.closed() ? "<= " : "< ") + reading + " " + limit.quanta() + ".0)";
  }

  private static String among(Variable v, long values) {
    String name = RuleTerms.symbol(v.name());
    if (RuleTerms.isBool(v)) {
      return values == 3 ? "true" : values == 2 ? name : "(not " + name + ")";
    }
    var text = new StringBuilder("(or false");
    for (int value = 0; value < v.size(); value++) {
      if ((values >>> value & 1) != 0) {
        text.append(" (= ").append(name).append(' ').append(value).append(')');
      }
    }
    return text.append(')').toString();
  }

  private String differs(BitSet among, RuleTerms after) {
    var text = new StringBuilder("(or false");
    for (Variable v : variables) {
      String old = RuleTerms.symbol(v.name());
      if (among.get(v.id()) && !after.value(v.id()).equals(old)) {
        text.append(" (not (= ").append(old).append(' ').append(after.value(v.id())).append("))");
      }
    }
    return text.append(')').toString();
  }

  private String reached() {
    var clocks = new ArrayList<String>();
    model.clocks().forEach(c -> clocks.add(clockName(c)));
    return reached(new RuleTerms(model), clocks, "|scan due|", "|scan waited|", "|claim held|", "|faults so far|");
  }

  private String reached(
      RuleTerms terms, List<String> clocks, String due, String waited, String held, String faults) {
    var text = new StringBuilder("(|plant reached|");
    variables.forEach(v -> text.append(' ').append(terms.value(v.id())));
    clocks.forEach(c -> text.append(' ').append(c));
    for (String last : List.of(due, waited, held, faults)) {
      text.append(' ').append(last);
    }
    return text.append(')').toString();
  }

  private List<String> variables(boolean clocks) {
    var list = new ArrayList<String>();
    for (Variable v : variables) {
      list.add("(" + RuleTerms.symbol(v.name()) + (RuleTerms.isBool(v) ? " Bool)" : " Int)"));
    }
    if (clocks) {
      model.clocks().forEach(c -> list.add("(" + clockName(c) + " Real)"));
      list.addAll(List.of("(|scan due| Int)", "(|scan waited| Real)", "(|claim held| Real)", "(|faults so far| Int)"));
    }
    return list;
  }

  private void clause(String comment, List<String> all, List<String> given, String head) {
    bound(all, "(=> (and true " + String.join(" ", given) + ")\n    " + head + ")", comment);
  }

  private void bound(List<String> all, String body, String comment) {
    line("; " + comment.replaceAll("\\s+", " "));
    line(
        all.isEmpty()
            ? "(assert " + body + ")"
            : "(assert (forall (" + String.join(" ", all) + ")\n  " + body + "))");
  }

  // What the controller sees

  /** As {@link stoplog.model.Controller} says, from the text of the model alone. */
  private void sight() {
    var assigned = new BitSet();
    for (Assignment a : model.controller().program()) {
      BitSet read = reads(a.value());
      read.andNot(assigned);
      visible.or(read);
      assigned.set(a.variable());
    }
    var outside = new BitSet();
    model.start().forEach(a -> outside.or(reads(a.value())));
    model.reactions().forEach(a -> outside.or(reads(a.value())));
    for (FieldChange c : model.changes()) {
      outside.or(reads(c.guard()));
      c.effects().forEach(a -> outside.or(reads(a.value())));
    }
    model.clocks().forEach(c -> outside.or(reads(c.running())));
    outside.or(reads(model.controller().powered()));
    outside.or(reads(claim.condition()));
    claim.monitors().forEach(a -> outside.or(reads(a.value())));
    outside.and(assigned);
    watched.or(visible);
    watched.or(outside);
  }

  private BitSet reads(Expr e) {
    return Expr.variables(e, model.definitions());
  }
}
