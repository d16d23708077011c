package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import stoplog.dsl.resolve.Question;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.ResolvedPlant.Assumptions;
import stoplog.dsl.resolve.ResolvedPlant.Claim;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.model.Assignment;
import stoplog.model.Claim.Kind;
import stoplog.model.Expr;
import stoplog.model.Role;

/**
 * Claims: each becomes one question, whether a condition can hold for longer than a time. What a
 * claim must remember of the run is kept in monitors of its own.
 */
final class ClaimLowering {
  private final Parts parts;
  private final Meanings meanings;
  private final Expr powered;
  private final Map<String, Integer> faults = new HashMap<>();

  /** All that can be faulty is in the parts by now. */
  ClaimLowering(Parts parts, Meanings meanings, Expr powered) {
    this.parts = parts;
    this.meanings = meanings;
    this.powered = powered;
    parts.variables.stream()
        .filter(v -> v.role() == Role.FAULT)
        .forEach(v -> faults.put(v.name(), v.id()));
  }

  void lower(Claim c) {
    var monitors = new ArrayList<Assignment>();
    Kind kind =
        switch (c.question()) {
          case Question.Can q -> Kind.CAN;
          case Question.AlwaysCan q -> Kind.ALWAYS_CAN;
          case Question.Response q -> Kind.RESPONSE;
          case Question.Hazard q -> Kind.HAZARD;
          case Question.NeverTogether q -> Kind.NEVER;
          case Question.Stays q -> Kind.NEVER;
        };
    Expr asked =
        switch (c.question()) {
          case Question.Can(Term condition) -> meanings.of(condition);
          case Question.AlwaysCan(Term condition) -> meanings.of(condition);
          case Question.Hazard(Term condition) -> meanings.of(condition);
          case Question.Response q -> waiting(c, q, monitors);
          case Question.NeverTogether q -> anyTwo(q);
          case Question.Stays q -> Expr.all(bound(c, q, monitors), Expr.not(meanings.of(q.what())));
        };
    List<Integer> faultsOf = faultsOf(c.under());
    Expr kept = kept(c, monitors);
    // A run against the assumptions must neither count as a lock-out nor lead out of one.
    boolean always = kind == Kind.ALWAYS_CAN;
    parts.claims.add(
        new stoplog.model.Claim(
            c.label().name().text(),
            c.label().text(),
            kind,
            always ? asked : Expr.all(asked, kept),
            parts.quanta(c.micros()),
            monitors,
            always ? kept : Expr.TRUE,
            faults(c.under(), faultsOf),
            faultsOf,
            c.basis(),
            c.span()));
  }

  /** The variables of the faults a claim names. */
  private List<Integer> faultsOf(Assumptions under) {
    var variables = new ArrayList<Integer>();
    if (under.tolerance() != null) {
      for (Symbol s : under.tolerance().of()) {
        Integer fault = faults.get(s.name() + ".fault");
        if (fault != null) {
          variables.add(fault);
        }
      }
    }
    return variables;
  }

  /** How many faults may strike; none where those named cannot strike at all. */
  private static int faults(Assumptions under, List<Integer> faultsOf) {
    ResolvedPlant.Tolerance t = under.tolerance();
    return t == null || (faultsOf.isEmpty() && !t.of().isEmpty()) ? 0 : t.faults();
  }

  private Expr waiting(Claim c, Question.Response q, List<Assignment> monitors) {
    String still = quoted(q.then()) + " has not come";
    return since(c, q.after(), q.then(), List.of("not waiting", "waiting"), still, monitors);
  }

  private Expr bound(Claim c, Question.Stays q, List<Assignment> monitors) {
    String still = quoted(q.what()) + " has to stay until " + quoted(q.until());
    return since(c, q.once(), q.until(), List.of("not bound", "bound"), still, monitors);
  }

  private static String quoted(Term t) {
    return '"' + AsWritten.oneLine(t.span()) + '"';
  }

  /**
   * Whether a condition has held since another last did, as a monitor; the other wins.
   *
   * @param words of the monitor's values: no, yes
   * @param still what it says while it has
   */
  private Expr since(
      Claim c, Term begins, Term ends, List<String> words, String still, List<Assignment> monitors) {
    String name = c.label().name() + "." + words.getLast();
    int monitor =
        parts.flag(name, Role.MONITOR, words.getFirst(), words.getLast(), still, c.span());
    Expr begun =
        new Expr.Choose(meanings.of(begins), new Expr.Constant(1), new Expr.Read(monitor));
    Expr value = new Expr.Choose(meanings.of(ends), new Expr.Constant(0), begun);
    monitors.add(new Assignment(monitor, value, c.span()));
    return Expr.is(monitor, 1);
  }

  private Expr anyTwo(Question.NeverTogether q) {
    var pairs = new ArrayList<Expr>();
    for (int i = 0; i < q.conditions().size(); i++) {
      Expr one = meanings.of(q.conditions().get(i));
      for (int j = i + 1; j < q.conditions().size(); j++) {
        pairs.add(Expr.all(one, meanings.of(q.conditions().get(j))));
      }
    }
    return Expr.any(pairs);
  }

  /**
   * Whether the run has kept to the assumptions of the claim so far, as a monitor that a single
   * state against them turns for good; nothing can be reached any more from there.
   */
  private Expr kept(Claim c, List<Assignment> monitors) {
    Assumptions under = c.under();
    var now = new ArrayList<Expr>();
    under.assumed().forEach(t -> now.add(meanings.of(t)));
    if (under.withoutPowerFailure() != null) {
      now.add(powered);
    }
    Expr holds = Expr.all(now);
    if (holds.equals(Expr.TRUE)) {
      return Expr.TRUE;
    }
    String name = c.label().name() + ".assumption";
    int broken = parts.flag(name, Role.MONITOR, "kept", "broken", c.label().text(), c.span());
    Expr value = new Expr.Choose(holds, new Expr.Read(broken), new Expr.Constant(1));
    monitors.add(new Assignment(broken, value, c.span()));
    return Expr.is(broken, 0);
  }
}
