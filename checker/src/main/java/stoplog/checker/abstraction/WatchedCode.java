package stoplog.checker.abstraction;

import static stoplog.checker.abstraction.StepClass.OUT;
import static stoplog.checker.abstraction.StepClass.STATE;

import java.lang.classfile.CodeBuilder;
import java.lang.classfile.Label;
import java.util.ArrayList;
import java.util.BitSet;
import stoplog.checker.abstraction.CompilableSystem.Unit;

/**
 * Writes the question whether a step has changed a variable that makes a scan due: in line over the
 * words that hold assigned variables, or where those are many, by methods over all words that all steps
 * share.
 */
final class WatchedCode {
  private static final int MOST_WORDS_IN_LINE = 8;

  /** How many words a method compares at most. */
  private static final int MOST_WORDS = 100;

  private final StepClass into;
  private final CompilableSystem system;
  private final PlainCode.Places places;
  private boolean shared;

  WatchedCode(StepClass into, CompilableSystem system, PlainCode.Places places) {
    this.into = into;
    this.system = system;
    this.places = places;
  }

  /** Adds the methods that {@link #differs} calls for this step, if they are not there. */
  void prepare(Unit unit, BitSet assigned) {
    if (system.tracksDue() && areMany(unit, assigned) && !shared) {
      shared = true;
      comparison("byScan", masks(system.watchedByScan()));
      comparison("byChange", masks(system.watchedByChange()));
    }
  }

  /** Leaves 1 if a watched variable differs after the step, else 0. */
  void differs(CodeBuilder code, Unit unit, BitSet assigned) {
    if (areMany(unit, assigned)) {
      String which = unit instanceof Unit.Scan ? "byScan" : "byChange";
      code.aload(STATE).aload(OUT).invokestatic(StepClass.SELF, which, StepClass.ASKS);
      return;
    }
    Label yes = code.newLabel();
    Label end = code.newLabel();
    compare(code, masksOf(unit, assigned), 0, system.packing().words(), yes);
    code.iconst_0().goto_(end).labelBinding(yes).iconst_1().labelBinding(end);
  }

  private BitSet watched(Unit unit) {
    return unit instanceof Unit.Scan ? system.watchedByScan() : system.watchedByChange();
  }

  private boolean areMany(Unit unit, BitSet assigned) {
    int words = 0;
    for (long mask : masksOf(unit, assigned)) {
      words += mask != 0 ? 1 : 0;
    }
    return words > MOST_WORDS_IN_LINE;
  }

  private long[] masksOf(Unit unit, BitSet assigned) {
    BitSet both = (BitSet) assigned.clone();
    both.and(watched(unit));
    return masks(both);
  }

  private long[] masks(BitSet variables) {
    var packing = system.packing();
    long[] masks = new long[packing.words()];
    variables.stream()
        .map(places::field)
        .filter(f -> f >= 0)
        .forEach(f -> masks[packing.word(f)] |= packing.mask(f) << packing.shift(f));
    return masks;
  }

  private static void compare(CodeBuilder code, long[] masks, int from, int to, Label yes) {
    for (int w = from; w < to; w++) {
      if (masks[w] != 0) {
        code.aload(0).loadConstant(w).laload().aload(1).loadConstant(w).laload().lxor();
        code.loadConstant(masks[w]).land().lconst_0().lcmp().ifne(yes);
      }
    }
  }

  private void comparison(String name, long[] masks) {
    var parts = new ArrayList<String>();
    for (int from = 0; from < masks.length; from += MOST_WORDS) {
      String part = name + "part" + parts.size();
      parts.add(part);
      int first = from;
      into.method(
          part,
          StepClass.ASKS,
          code -> {
            Label yes = code.newLabel();
            compare(code, masks, first, Math.min(masks.length, first + MOST_WORDS), yes);
            code.iconst_0().ireturn().labelBinding(yes).iconst_1().ireturn();
          });
    }
    into.method(
        name,
        StepClass.ASKS,
        code -> {
          Label yes = code.newLabel();
          for (String p : parts) {
            code.aload(0).aload(1).invokestatic(StepClass.SELF, p, StepClass.ASKS).ifne(yes);
          }
          code.iconst_0().ireturn().labelBinding(yes).iconst_1().ireturn();
        });
  }
}
