package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * Who reads and who writes what in a model. Built once per model, in time linear in its size; every
 * question about the model uses the same one.
 */
public final class Reads {
  private final Model model;
  private @Nullable List<String> restless;
  private @Nullable Influence influence;
  private final List<BitSet> ofDefinition = new ArrayList<>();
  private final BitSet visible = new BitSet();
  private final BitSet programmed = new BitSet();
  private final List<BitSet> ofClock = new ArrayList<>();
  private final List<List<FieldChange>> changesOf = new ArrayList<>();
  private final List<List<Integer>> clocksStoppingWith = new ArrayList<>();
  private final BitSet clocksReadingNothing = new BitSet();
  private final List<FieldChange> changesWithoutEffects = new ArrayList<>();

  public Reads(Model model) {
    this.model = model;
    model.definitions().forEach(d -> ofDefinition.add(of(d.value())));
    for (Assignment a : model.controller().program()) {
      BitSet read = of(a.value());
      read.andNot(programmed);
      visible.or(read);
      programmed.set(a.variable());
    }
    model.clocks().forEach(c -> ofClock.add(of(c.running())));
    for (int v = 0; v < model.variables().size(); v++) {
      changesOf.add(new ArrayList<>());
      clocksStoppingWith.add(new ArrayList<>());
    }
    for (FieldChange c : model.changes()) {
      BitSet written = new BitSet();
      c.effects().forEach(e -> written.set(e.variable()));
      written.stream().forEach(v -> changesOf.get(v).add(c));
      if (written.isEmpty()) {
        changesWithoutEffects.add(c);
      }
    }
    for (int c = 0; c < ofClock.size(); c++) {
      int clock = c;
      clocksReadingNothing.set(c, ofClock.get(c).isEmpty());
      ofClock.get(c).stream().forEach(v -> clocksStoppingWith.get(v).add(clock));
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

  /** Who influences whom. Worked out once, when first asked. */
  synchronized Influence influence() {
    if (influence == null) {
      influence = new Influence(this);
    }
    return influence;
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
      case Expr.Use u -> read.or(ofDefinition.get(u.definition()));
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

  /** What a clock's condition reads. Not to be changed. */
  BitSet ofClock(int clock) {
    return ofClock.get(clock);
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
