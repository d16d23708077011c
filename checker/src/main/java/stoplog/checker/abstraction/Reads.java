package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Untouched;

/**
 * Who reads and who writes what in a model. Built once per model, in time linear in its size; every
 * question about the model uses the same one.
 */
public final class Reads {
  /** From so many effects on, a change's are looked up instead of gone through. */
  private static final int MANY = 16;

  private final Model model;
  private @Nullable List<String> restless;
  private @Nullable Influence influence;
  private @Nullable Touch touch;
  private final List<int[]> ofDefinition = new ArrayList<>();
  private final BitSet visible = new BitSet();
  private final BitSet programmed = new BitSet();
  private final List<int[]> ofClock = new ArrayList<>();
  private final int[][] ofChange;
  private final BitSet betweenSteps;
  private final Assignments start;
  private final Assignments program;
  private final Assignments reactions;
  private final Map<Integer, Assignments> effects = new HashMap<>();
  private final Map<List<Integer>, Admitted> admitted = new HashMap<>();
  private @Nullable BitSet power;
  private @Nullable Map<String, Integer> indices;
  private final List<List<FieldChange>> changesOf = new ArrayList<>();
  private final List<List<Integer>> clocksStoppingWith = new ArrayList<>();
  private final BitSet clocksReadingNothing = new BitSet();
  private final List<FieldChange> changesWithoutEffects = new ArrayList<>();

  public Reads(Model model) {
    this.model = model;
    model.definitions().forEach(d -> ofDefinition.add(of(d.value()).stream().toArray()));
    this.start = new Assignments(model.start());
    this.program = new Assignments(model.controller().program());
    this.reactions = new Assignments(model.reactions());
    for (Assignment a : model.controller().program()) {
      BitSet read = of(a.value());
      read.andNot(programmed);
      visible.or(read);
      programmed.set(a.variable());
    }
    model.clocks().forEach(c -> ofClock.add(of(c.running()).stream().toArray()));
    this.betweenSteps = (BitSet) visible.clone();
    collect(model.controller().powered(), betweenSteps);
    model.start().forEach(a -> collect(a.value(), betweenSteps));
    model.reactions().forEach(a -> collect(a.value(), betweenSteps));
    ofClock.forEach(read -> set(read, betweenSteps));
    this.ofChange = new int[model.changes().size()][];
    for (int v = 0; v < model.variables().size(); v++) {
      changesOf.add(new ArrayList<>());
      clocksStoppingWith.add(new ArrayList<>());
    }
    for (FieldChange c : model.changes()) {
      BitSet read = of(c.guard());
      c.effects().forEach(a -> collect(a.value(), read));
      ofChange[c.id()] = read.stream().toArray();
      BitSet written = new BitSet();
      c.effects().forEach(e -> written.set(e.variable()));
      written.stream().forEach(v -> changesOf.get(v).add(c));
      if (written.isEmpty()) {
        changesWithoutEffects.add(c);
      }
    }
    for (int c = 0; c < ofClock.size(); c++) {
      int clock = c;
      clocksReadingNothing.set(c, ofClock.get(c).length == 0);
      for (int v : ofClock.get(c)) {
        clocksStoppingWith.get(v).add(clock);
      }
    }
  }

  /**
   * Memories that may never come to rest while time stands still, which voids every proof; empty if
   * the controller takes time to react, since then time goes on. Worked out once, when first asked.
   */
  public synchronized List<String> restless() {
    if (restless == null) {
      restless =
          model.controller().reactionQuanta() > 0 ? List.of() : Settling.restless(this);
    }
    return restless;
  }

  /**
   * What was seen to change scan after scan though nothing in the field moves, for any reaction time;
   * memories too many to try are left out. With a reaction time above 0 it voids nothing, for time goes
   * on meanwhile.
   */
  public List<String> flickering() {
    return Settling.seenRestless(this);
  }

  /** Who influences whom. Worked out once, when first asked. */
  synchronized Influence influence() {
    if (influence == null) {
      influence = new Influence(this);
    }
    return influence;
  }

  /** What a variable touches. Worked out once, when first asked. */
  synchronized Touch touch() {
    if (touch == null) {
      touch = new Touch(this);
    }
    return touch;
  }

  /** The variables of a role. */
  BitSet ofRole(Role role) {
    BitSet found = new BitSet();
    model.variables().stream().filter(v -> v.role() == role).forEach(v -> found.set(v.id()));
    return found;
  }

  /** The model this was built of. */
  public Model model() {
    return model;
  }

  /** The variables an expression reads, through definitions too. A fresh set. */
  public BitSet of(Expr e) {
    BitSet read = new BitSet();
    collect(e, read);
    return read;
  }

  private void collect(Expr e, BitSet read) {
    switch (e) {
      case Expr.Constant c -> {}
      case Expr.Read r -> read.set(r.variable());
      case Expr.Use u -> set(ofDefinition.get(u.definition()), read);
      case Expr.Not n -> collect(n.operand(), read);
      case Expr.All a -> a.operands().forEach(o -> collect(o, read));
      case Expr.Any a -> a.operands().forEach(o -> collect(o, read));
      case Expr.In i -> collect(i.operand(), read);
      case Expr.Same s -> {
        collect(s.left(), read);
        collect(s.right(), read);
      }
      case Expr.Choose c -> {
        collect(c.condition(), read);
        collect(c.then(), read);
        collect(c.otherwise(), read);
      }
      case Expr.Shift s -> collect(s.operand(), read);
    }
  }

  /** Variables whose old value the scan program may read. Not to be changed. */
  BitSet visible() {
    return visible;
  }

  /** Variables the scan program assigns. Not to be changed. */
  BitSet programmed() {
    return programmed;
  }

  private static void set(int[] variables, BitSet into) {
    for (int v : variables) {
      into.set(v);
    }
  }

  /** What a clock's condition reads. A fresh set. */
  BitSet ofClock(int clock) {
    BitSet read = new BitSet();
    set(ofClock.get(clock), read);
    return read;
  }

  /** Adds what the guard and the effects of a change read. */
  void ofChange(int change, BitSet into) {
    set(ofChange[change], into);
  }

  /**
   * What is read with the value that it has between two steps, whatever is kept: by scans, by reactions,
   * at the start, by clocks, and by what tells whether the controller has power. Not to be changed.
   */
  BitSet betweenSteps() {
    return betweenSteps;
  }

  /** The start assignments. */
  Assignments start() {
    return start;
  }

  /** The assignments of a scan. */
  Assignments program() {
    return program;
  }

  Assignments reactions() {
    return reactions;
  }

  /** What a change does; of one that does much, such as a power failure, made ready once. */
  Assignments effects(FieldChange change) {
    if (change.effects().size() < MANY) {
      return new Assignments(change.effects());
    }
    synchronized (this) {
      return effects.computeIfAbsent(change.id(), id -> new Assignments(change.effects()));
    }
  }

  /**
   * What a claim's tolerance of faults makes of the model.
   *
   * @param changes how many changes its runs may hold
   * @param constants variables that no run of it ever changes, its own monitors left aside; not to be
   *     changed
   */
  record Admitted(int changes, BitSet constants) {}

  /** The same for all claims that tolerate the same faults, so worked out once for them. */
  synchronized Admitted admitted(Claim claim) {
    boolean none = claim.faultBudget() == 0;
    var faults = new ArrayList<Integer>(none ? List.of() : claim.faultsOf());
    faults.add(none ? -1 : -2); // So that "no fault" is told from "any fault".
    return admitted.computeIfAbsent(
        faults,
        f -> {
          var plain =
              new Claim(
                  claim.id(), "", Claim.Kind.HAZARD, claim.condition(), 0, List.of(),
                  claim.faultBudget(), claim.faultsOf(), Claim.Basis.NONE, claim.origin());
          int changes = 0;
          for (FieldChange c : model.changes()) {
            changes += claim.admits(c) ? 1 : 0;
          }
          return new Admitted(changes, Untouched.by(model, plain));
        });
  }

  /** The model's variables by name. Made when first asked; not to be changed. */
  synchronized Map<String, Integer> indices() {
    if (indices == null) {
      indices = model.indexByName();
    }
    return indices;
  }

  /** The variables that say whether there is power. Not to be changed. */
  synchronized BitSet power() {
    if (power == null) {
      power = ofRole(Role.POWER);
    }
    return power;
  }

  /** The changes that assign the variable. */
  List<FieldChange> changesOf(int variable) {
    return changesOf.get(variable);
  }

  /** The changes that assign nothing; reactions and monitors follow them all the same. */
  List<FieldChange> changesWithoutEffects() {
    return changesWithoutEffects;
  }

  /** The clocks that always or never run, whatever is kept. Not to be changed. */
  BitSet clocksReadingNothing() {
    return clocksReadingNothing;
  }

  /** The clocks whose condition reads the variable. */
  List<Integer> clocksReading(int variable) {
    return clocksStoppingWith.get(variable);
  }
}
