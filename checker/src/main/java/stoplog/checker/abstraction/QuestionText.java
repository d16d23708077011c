package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collections;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.IntFunction;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Fingerprint;
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
 * what one has proved the other would. What has no order (the operands of "all" and "any", the changes,
 * the variables) is told in an order of its own.
 *
 * <p>The text may be told in other names than the model's: if each stands for one variable, or one
 * clock, the same text is still the same search, with the names exchanged.
 *
 * <p>INVARIANT (nothing-unsaid): whatever {@link KeptSteps}, {@link KeptState} and {@link KeptClocks}
 * take from the model stands here: what they are made of is told, rather than what they make of it.
 * Too much told only makes a proof be found again. {@code QuestionTextTest} holds what a {@link Kept}
 * is made of to what is told here.
 *
 * <p>Sized by what is kept and what its expressions read.
 */
final class QuestionText {
  /** The longest text of a definition that is told where it is used, rather than its fingerprint. */
  private static final int SHORT = 80;

  private final Reads reads;
  private final Model model;
  private final Claim claim;
  private final Kept kept;
  private final Names names;

  /** The kept variables, and those that kept groups are about. */
  private final BitSet followed;

  private final BitSet constants;
  private final BitSet relevant;

  /** Variables that the relevant changes read, be it only for what they do to hidden ones. */
  private final BitSet readByChanges = new BitSet();

  /** Hidden variables that something told here reads: only of these it matters that they are assigned. */
  private final BitSet hidden;

  private final BitSet clocks;
  private final BitSet readByMonitors = new BitSet();
  private final BitSet readAfterwards;

  /** The followed variables, and those that are read hidden. */
  private final BitSet told = new BitSet();

  private final Map<Assignment, BitSet> readBy = new IdentityHashMap<>();

  private final StringBuilder text = new StringBuilder();
  private final Map<Integer, String> definitions = new HashMap<>();

  /**
   * What variables and clocks are called.
   *
   * @param variables a different name for each variable
   * @param clocks a different name for each clock
   */
  record Names(IntFunction<String> variables, IntFunction<String> clocks) {
    /** Those of the model. */
    static Names of(Model model) {
      return new Names(v -> model.variable(v).name(), c -> model.clocks().get(c).name());
    }
  }

  private QuestionText(Reads reads, Claim claim, Kept kept, Names names) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.kept = kept;
    this.names = names;
    this.followed = kept.followed();
    this.constants = KeptSteps.constants(reads, claim);
    this.relevant = KeptSteps.bearingOn(reads, claim, kept);
    relevant.stream().forEach(id -> reads.ofChange(id, readByChanges));
    this.clocks = clocks();
    claim.monitors().forEach(m -> readByMonitors.or(reads.of(m.value())));
    this.readAfterwards = readAfterwards();
    this.hidden = read();
    hidden.andNot(followed);
    hidden.andNot(constants);
    told.or(followed);
    told.or(hidden);
  }

  /** What all expressions read that are told. A fresh set. */
  private BitSet read() {
    BitSet read = (BitSet) readAfterwards.clone();
    read.or(reads.of(claim.condition()));
    read.or(reads.of(model.controller().powered()));
    addReads(reads.program(), read);
    addReads(reads.start(), read);
    clocks.stream().forEach(c -> read.or(reads.ofClock(c)));
    for (int id = relevant.nextSetBit(0); id >= 0; id = relevant.nextSetBit(id + 1)) {
      FieldChange c = model.changes().get(id);
      read.or(reads.of(c.guard()));
      addReads(reads.effects(c), read);
    }
    return read;
  }

  private void addReads(Assignments assignments, BitSet into) {
    for (int place : assignments.placesOf(followed)) {
      into.or(readBy(assignments.at(place)));
    }
  }

  /** Not to be changed. */
  private BitSet readBy(Assignment a) {
    return readBy.computeIfAbsent(a, x -> reads.of(x.value()));
  }

  static String of(Reads reads, Claim claim, Kept kept) {
    return of(reads, claim, kept, Names.of(reads.model()));
  }

  static String of(Reads reads, Claim claim, Kept kept, Names names) {
    var question = new QuestionText(reads, claim, kept, names);
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
    lines(followed.stream().mapToObj(v -> variable(model.variable(v))).toList());
    lines(kept.groups().stream().map(this::group).toList());
    line("scans counted " + kept.due());
    int known = kept.variables().cardinality();
    line("scans unasked " + (!kept.due() || known < model.variables().size()));
    line(
        "controller within " + c.reactionQuanta() + ", coincident " + c.coincident() + ", any program "
            + !c.program().isEmpty() + ", powered " + expr(c.powered()));
    BitSet onlyWhile = reads.of(claim.onlyWhile());
    BitSet later = (BitSet) readByMonitors.clone();
    later.or(onlyWhile);
    // A scan may begin with what a monitor knows.
    line("program" + assignments(reads.program(), readByMonitors, readAfterwards));
    line("start" + assignments(reads.start(), new BitSet(), readAfterwards));
    line("reactions" + assignments(reads.reactions(), hidden, later));
    line("monitors" + assignments(new Assignments(claim.monitors()), hidden, onlyWhile));
    lines(clocks.stream().mapToObj(id -> clock(model.clocks().get(id))).toList());
    lines(relevant.stream().mapToObj(id -> change(model.changes().get(id))).toList());
    int possible = reads.admitted(claim).changes();
    line("anything else happens " + (relevant.cardinality() < possible));
  }

  private String variable(Variable v) {
    return (kept.has(v.id()) ? "keeps " : "follows ") + name(v.id()) + " of " + v.size() + " from " + Long.toHexString(v.initial())
        + (constants.get(v.id()) ? " constant" : "")
        + (reads.visible().get(v.id()) ? " visible" : "")
        + (reads.programmed().get(v.id()) ? " programmed" : "")
        + (reads.betweenSteps().get(v.id()) ? " read between steps" : "")
        + (readByChanges.get(v.id()) ? " read by changes" : "");
  }

  private String group(Group g) {
    var members = new ArrayList<String>();
    g.members().forEach(m -> members.add(name(m.variable()) + " in " + Long.toHexString(m.values())));
    Collections.sort(members);
    return "keeps whether at least " + g.atLeast() + " of\n  " + String.join("\n  ", members);
  }

  private BitSet clocks() {
    BitSet wanted = (BitSet) reads.clocksReadingNothing().clone();
    followed.stream().forEach(v -> reads.clocksReading(v).forEach(wanted::set));
    BitSet found = new BitSet();
    wanted.stream().filter(c -> KeptClocks.keeps(reads, c, kept, constants)).forEach(found::set);
    return found;
  }

  private String clock(Clock c) {
    return "clock " + quoted(names.clocks.apply(c.id())) + bound(c.limit()) + " runs while " + expr(c.running());
  }

  private String change(FieldChange c) {
    FieldChange.Timing t = c.timing();
    return "change" + (c.cause() == FieldChange.Cause.FAULT ? " by a fault" : "") + " when " + expr(c.guard())
        + (t == null || !clocks.get(t.clock())
            ? ""
            : "\n  at " + quoted(names.clocks.apply(t.clock())) + " from" + bound(t.earliest()) + " to" + bound(t.latest()))
        + "\n  effects" + assignments(reads.effects(c), reads.of(c.guard()), readAfterwards);
  }

  /** What a step reads when its own assignments have been carried out. A fresh set. */
  private BitSet readAfterwards() {
    BitSet read = (BitSet) readByMonitors.clone();
    addReads(reads.reactions(), read);
    read.or(reads.of(claim.onlyWhile()));
    return read;
  }

  /**
   * In their order, which means something. Of what is hidden only that it is another from there on, and only
   * where that matters: where something reads it before and something after. That is told where the order
   * begins to matter, after the last before it that reads it.
   *
   * @param before what a step that holds these assignments may read before them
   * @param after what it may read after them
   */
  private String assignments(Assignments assignments, BitSet before, BitSet after) {
    int[] places = assignments.placesOf(told);
    Map<Integer, Integer> lastReadAt = new HashMap<>();
    var lines = new ArrayList<String>();
    var others = new ArrayList<List<String>>();
    others.add(new ArrayList<>());
    for (int place : places) {
      Assignment a = assignments.at(place);
      if (followed.get(a.variable())) {
        lines.add("\n  " + name(a.variable()) + " := " + expr(a.value()));
        others.add(new ArrayList<>());
        BitSet read = readBy(a);
        for (int v = read.nextSetBit(0); v >= 0; v = read.nextSetBit(v + 1)) {
          lastReadAt.put(v, place);
        }
      }
    }
    int line = 0;
    Map<Integer, Integer> lineReading = new HashMap<>();
    for (int place : places) {
      Assignment a = assignments.at(place);
      int v = a.variable();
      if (followed.get(v)) {
        line++;
        BitSet read = readBy(a);
        for (int r = read.nextSetBit(0); r >= 0; r = read.nextSetBit(r + 1)) {
          lineReading.put(r, line);
        }
      } else if ((before.get(v) || lineReading.containsKey(v))
          && (after.get(v) || lastReadAt.getOrDefault(v, -1) > place)) {
        others.get(lineReading.getOrDefault(v, 0)).add("\n  " + name(v) + " is another");
      }
    }
    var text = new StringBuilder();
    for (int i = 0; i < others.size(); i++) {
      others.get(i).stream().sorted().forEach(text::append);
      text.append(i < lines.size() ? lines.get(i) : "");
    }
    return text.toString();
  }

  private static String bound(@Nullable Bound b) {
    return b == null ? " none" : " " + b.quanta() + (b.closed() ? "]" : ")");
  }

  private String name(int variable) {
    return quoted(names.variables.apply(variable));
  }

  /** Names hold anything: each is told with its length, so that nothing can be read in two ways. */
  private static String quoted(String name) {
    return name.length() + "\"" + name + "\"";
  }

  private void line(String line) {
    text.append(line).append('\n');
  }

  private void lines(List<String> lines) {
    lines.stream().sorted().forEach(this::line);
  }

  private String expr(Expr e) {
    return switch (e) {
      case Expr.Constant c -> Integer.toString(c.value());
      case Expr.Read r -> read(r.variable());
      case Expr.Use u -> definition(u.definition());
      case Expr.Not n -> "not(" + expr(n.operand()) + ")";
      case Expr.All a -> "all" + anyOrder(a.operands());
      case Expr.Any a -> "any" + anyOrder(a.operands());
      case Expr.In i -> "in " + Long.toHexString(i.values()) + "(" + expr(i.operand()) + ")";
      case Expr.Same s -> "same" + anyOrder(List.of(s.left(), s.right()));
      case Expr.Choose c ->
          "choose(" + expr(c.condition()) + "," + expr(c.then()) + "," + expr(c.otherwise()) + ")";
      case Expr.Shift s -> "shift " + s.by() + "(" + expr(s.operand()) + ")";
    };
  }

  private String anyOrder(List<Expr> operands) {
    var told = new ArrayList<String>();
    operands.forEach(o -> told.add(expr(o)));
    Collections.sort(told);
    return "(" + String.join(",", told) + ")";
  }

  private String read(int variable) {
    if (followed.get(variable)) {
      return name(variable);
    }
    Variable v = model.variable(variable);
    if (constants.get(variable)) {
      return "constant " + Long.toHexString(v.initial());
    }
    if (!hidden.get(variable)) {
      throw new IllegalStateException("something is told that nothing was seen to read");
    }
    return "any of " + v.size() + " " + name(variable);
  }

  /** Told by its fingerprint if it is long: it may be used in many places. */
  private String definition(int index) {
    String told = definitions.get(index);
    if (told == null) {
      told = expr(model.definitions().get(index).value());
      told = told.length() <= SHORT ? told : "as sha256 " + Fingerprint.of(told);
      definitions.put(index, told);
    }
    return told;
  }
}
