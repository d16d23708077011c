package stoplog.checker.abstraction;

import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * All that a search with certain variables kept can see of a model and a claim, as text. Two searches
 * with the same text have the same states, steps, clocks and goal, whatever else the plants hold, so
 * what one has proved the other would.
 *
 * <p>INVARIANT (nothing-unsaid): whatever {@link KeptSteps}, {@link KeptState} and {@link KeptClocks}
 * take from the model stands here: what they are made of is told, rather than what they make of it.
 * Too much told only makes a proof be found again. {@code QuestionTextTest} holds what a {@link Kept}
 * is made of to what is told here.
 *
 * <p>Sized by what is kept and what its expressions read; lists of assignments are gone through once
 * each.
 */
final class QuestionText {
  private final Reads reads;
  private final Model model;
  private final Claim claim;
  private final Kept kept;

  /** The kept variables, and those that kept groups are about. */
  private final BitSet followed;

  private final BitSet constants;
  private final BitSet relevant;

  /** Variables that the relevant changes read, be it only for what they do to hidden ones. */
  private final BitSet readByChanges = new BitSet();

  /** Hidden variables that something told here reads: only of these it matters that they are assigned. */
  private final BitSet hidden = new BitSet();

  private final StringBuilder text = new StringBuilder();
  private Map<Integer, Integer> definitions = new HashMap<>();

  private QuestionText(Reads reads, Claim claim, Kept kept) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.kept = kept;
    this.followed = kept.followed();
    var steps = new KeptSteps(reads, claim, kept, null);
    this.constants = steps.constants();
    this.relevant = steps.relevant();
    relevant.stream().forEach(id -> reads.ofChange(id, readByChanges));
  }

  static String of(Reads reads, Claim claim, Kept kept) {
    var question = new QuestionText(reads, claim, kept);
    // What is read is known when everything was told once.
    question.tell();
    question.text.setLength(0);
    question.definitions = new HashMap<>();
    question.tell();
    return question.text.toString();
  }

  private void tell() {
    Controller c = model.controller();
    line("quantum " + model.quantumMicros());
    line(
        "claim " + claim.kind() + " longer than " + claim.forQuanta() + ", faults "
            + claim.faultBudget() + ": " + expr(claim.condition()));
    line("only while " + expr(claim.onlyWhile()));
    followed.stream().forEach(v -> variable(model.variable(v)));
    kept.groups().forEach(this::group);
    line("scans counted " + kept.due());
    int known = kept.variables().cardinality();
    line("scans unasked " + (!kept.due() || known < model.variables().size()));
    line(
        "controller within " + c.reactionQuanta() + ", coincident " + c.coincident() + ", any program "
            + !c.program().isEmpty() + ", powered " + expr(c.powered()));
    assignments("program", c.program());
    assignments("start", model.start());
    assignments("reactions", model.reactions());
    assignments("monitors", claim.monitors());
    BitSet clocks = clocks();
    relevant.stream().mapToObj(model.changes()::get).forEach(change -> change(change, clocks));
    int possible = reads.admitted(claim).changes();
    line("anything else happens " + (relevant.cardinality() < possible));
  }

  private void variable(Variable v) {
    line(
        (kept.has(v.id()) ? "keeps " : "follows ") + name(v.id()) + " of " + v.size() + " from " + Long.toHexString(v.initial())
            + (constants.get(v.id()) ? " constant" : "")
            + (reads.visible().get(v.id()) ? " visible" : "")
            + (reads.programmed().get(v.id()) ? " programmed" : "")
            + (reads.betweenSteps().get(v.id()) ? " read between steps" : "")
            + (readByChanges.get(v.id()) ? " read by changes" : ""));
  }

  private void group(Group g) {
    line("keeps whether at least " + g.atLeast() + " of");
    for (Group.Member m : g.members()) {
      line("  " + name(m.variable()) + " in " + Long.toHexString(m.values()));
    }
  }

  private BitSet clocks() {
    BitSet wanted = (BitSet) reads.clocksReadingNothing().clone();
    followed.stream().forEach(v -> reads.clocksReading(v).forEach(wanted::set));
    BitSet found = new BitSet();
    wanted.stream()
        .filter(c -> KeptClocks.keeps(reads, c, kept, constants))
        .forEach(
            id -> {
              found.set(id);
              Clock c = model.clocks().get(id);
              line("clock " + quoted(c.name()) + bound(c.limit()) + " runs while " + expr(c.running()));
            });
    return found;
  }

  private void change(FieldChange c, BitSet clocks) {
    FieldChange.Timing t = c.timing();
    line("change" + (c.cause() == FieldChange.Cause.FAULT ? " by a fault" : "") + " when " + expr(c.guard()));
    if (t != null && clocks.get(t.clock())) {
      line(
          "  at " + quoted(model.clocks().get(t.clock()).name()) + " from" + bound(t.earliest())
              + " to" + bound(t.latest()));
    }
    assignments("  effects", c.effects());
  }

  private void assignments(String what, List<Assignment> assignments) {
    line(what);
    for (Assignment a : assignments) {
      if (followed.get(a.variable())) {
        line("  " + name(a.variable()) + " := " + expr(a.value()));
      } else if (hidden.get(a.variable())) {
        line("  " + name(a.variable()) + " is another");
      }
    }
  }

  private static String bound(@Nullable Bound b) {
    return b == null ? " none" : " " + b.quanta() + (b.closed() ? "]" : ")");
  }

  private String name(int variable) {
    return quoted(model.variable(variable).name());
  }

  /** Names hold anything: each is told with its length, so that nothing can be read in two ways. */
  private static String quoted(String name) {
    return name.length() + "\"" + name + "\"";
  }

  private void line(String line) {
    text.append(line).append('\n');
  }

  private String expr(Expr e) {
    return switch (e) {
      case Expr.Constant c -> Integer.toString(c.value());
      case Expr.Read r -> read(r.variable());
      case Expr.Use u -> definition(u.definition());
      case Expr.Not n -> "not(" + expr(n.operand()) + ")";
      case Expr.All a -> "all" + exprs(a.operands());
      case Expr.Any a -> "any" + exprs(a.operands());
      case Expr.In i -> "in " + Long.toHexString(i.values()) + "(" + expr(i.operand()) + ")";
      case Expr.Same s -> "same" + exprs(List.of(s.left(), s.right()));
      case Expr.Choose c -> "choose" + exprs(List.of(c.condition(), c.then(), c.otherwise()));
      case Expr.Shift s -> "shift " + s.by() + "(" + expr(s.operand()) + ")";
    };
  }

  private String exprs(List<Expr> operands) {
    return operands.stream().map(this::expr).collect(Collectors.joining(",", "(", ")"));
  }

  private String read(int variable) {
    if (followed.get(variable)) {
      return name(variable);
    }
    Variable v = model.variable(variable);
    if (constants.get(variable)) {
      return "constant " + Long.toHexString(v.initial());
    }
    hidden.set(variable);
    return "any of " + v.size() + " " + name(variable);
  }

  /** Told where it is first used, with a number of its own. */
  private String definition(int index) {
    Integer number = definitions.get(index);
    if (number == null) {
      number = definitions.size();
      definitions.put(index, number);
      line("definition " + number + " is " + expr(model.definitions().get(index).value()));
    }
    return "definition " + number;
  }
}
