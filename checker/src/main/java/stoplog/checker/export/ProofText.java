package stoplog.checker.export;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import stoplog.checker.certificate.Cases;
import stoplog.checker.certificate.Certificate;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * A proof as a question in SMT-LIB 2.6 that any solver of linear arithmetic can answer: is there a step
 * that leads out of the set of states that the proof gives, or a state in it that breaks the claim? The
 * steps are {@link Clauses}, written from the meaning of the model alone; the set defines their
 * relation. {@code unsat} means that there is none, so that no run breaks the claim: nothing has to be
 * searched for, and nothing believed of the program that made the proof.
 *
 * <p>{@code sat} does not refute the claim. It may be that the text says less of time than a proof may
 * use.
 *
 * <p>Text linear in what is kept times the number of its changes, and in the proof.
 */
public final class ProofText {
  private ProofText() {}

  /**
   * The question whether a certificate proves its claim.
   *
   * @throws IllegalArgumentException if it does not belong to the plant: no such claim, variable or case
   */
  public static String of(Model model, Certificate certificate) {
    Claim claim = model.claim(certificate.claim());
    var lines = new ArrayList<String>();
    lines.add(Smt.title(model, claim));
    lines.add("; unsat to every question: the states below hold every run of the plant, and none");
    lines.add("; of them breaks the claim. sat to any: a step may lead out of them, or one of them");
    lines.add("; breaks it; then they prove nothing. What is proved holds for the model, not the plant.");
    lines.add("; Times are numbers of " + model.quantumMicros() + " microseconds.");
    lines.add("(set-logic QF_LIRA)");
    if (certificate.cases().isEmpty()) {
      ask("states", claim, claim, Expr.TRUE, Scope.of(model, claim, certificate), certificate, lines);
    } else {
      byCases(model, claim, certificate.cases(), lines);
    }
    return String.join("\n", lines) + "\n";
  }

  private static void byCases(
      Model model, Claim claim, List<Certificate> certificates, List<String> lines) {
    List<Cases> cases = Cases.of(model, claim);
    if (cases.size() != certificates.size()) {
      throw new IllegalArgumentException("it proves other cases than the claim has");
    }
    for (int i = 0; i < cases.size(); i++) {
      Claim one = cases.get(i).claim();
      Scope scope = Scope.of(cases.get(i).model(), one, certificates.get(i));
      Expr remembered = Cases.remembered(claim, one);
      ask("states of case " + (i + 1), one, claim, remembered, scope, certificates.get(i), lines);
    }
  }

  /** Defines a set of states, and asks about each clause whether it holds of the set. */
  private static void ask(
      String name, Claim claim, Claim whole, Expr remembered, Scope scope, Certificate certificate,
      List<String> lines) {
    var relation = new Relation(name, claim, scope, true);
    lines.add("(define-fun " + relation.symbol() + " " + Smt.declared(relation.parameters()) + " Bool");
    var states = certificate.states().stream().map(s -> state(relation, scope, certificate, s)).toList();
    lines.add("  " + any(states, 0) + ")");
    for (var clause : new Clauses(claim, whole, remembered, scope, relation).make()) {
      lines.add("; " + clause.comment());
      lines.add("(push 1)");
      clause.names().forEach(n -> lines.add("(declare-fun " + n.name() + " () " + n.sort() + ")"));
      lines.add("(assert (not " + clause.body() + "))");
      lines.add("(check-sat)");
      lines.add("(pop 1)");
    }
  }

  /** That all terms of one of these hold, from a place on; what several begin with is said once. */
  private static String any(List<List<String>> states, int from) {
    Map<String, List<List<String>>> begun = new LinkedHashMap<>();
    for (List<String> state : states) {
      if (state.size() == from) {
        return Smt.TRUE;
      }
      begun.computeIfAbsent(state.get(from), t -> new ArrayList<>()).add(state);
    }
    var ways = new ArrayList<String>();
    begun.forEach(
        (term, rest) ->
            ways.add(
                rest.size() == 1
                    ? Smt.all(rest.getFirst().subList(from, rest.getFirst().size()))
                    : Smt.all(List.of(term, any(rest, from + 1)))));
    return Smt.any(ways);
  }

  private static List<String> state(
      Relation relation, Scope scope, Certificate certificate, Certificate.State state) {
    if (state.values().size() != certificate.keeps().size()
        || state.groups().size() != certificate.groups().size()) {
      throw new IllegalArgumentException("a state gives too few or too many values");
    }
    var terms = new ArrayList<String>();
    for (int i = 0; i < certificate.keeps().size(); i++) {
      var v = scope.model().variable(certificate.keeps().get(i));
      long value = 1L << state.values().get(i);
      terms.add(
          scope.isConstant(v.id())
              ? (v.initial() == value ? Smt.TRUE : Smt.FALSE)
              : Smt.among(Smt.symbol(v.name()), v, value));
    }
    for (int g = 0; g < state.groups().size(); g++) {
      String group = Relation.group(g);
      terms.add(state.groups().get(g) ? group : Smt.not(group));
    }
    if (certificate.due() && relation.scans) {
      terms.add(Smt.equal(Relation.DUE, "" + state.due()));
    }
    if (relation.countsFaults()) {
      terms.add(Smt.equal(Relation.FAULTS, "" + state.faults()));
    }
    Map<String, String> readings = readings(relation);
    for (Certificate.Bound b : state.bounds()) {
      String upper = readings.get(b.upper());
      String lower = readings.get(b.lower());
      // What the clauses do not measure cannot be used: without it the set holds more.
      if (upper != null && lower != null) {
        terms.add(Smt.atMost(upper, lower, b.quanta(), b.attained()));
      }
    }
    return terms;
  }

  private static Map<String, String> readings(Relation relation) {
    Map<String, String> readings = new HashMap<>();
    for (Clock c : relation.clocks()) {
      readings.put(c.name(), Relation.reading(c));
    }
    readings.put(Certificate.Bound.ZERO, "0.0");
    readings.put(Certificate.Bound.CONDITION, Relation.HELD);
    if (relation.waits) {
      readings.put(Certificate.Bound.DUE, Relation.WAITED);
    }
    return readings;
  }
}
