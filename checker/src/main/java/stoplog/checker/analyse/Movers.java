package stoplog.checker.analyse;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import stoplog.checker.abstraction.Reads;
import stoplog.model.Assignment;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Which changes may move a variable, by themselves or by the reactions that follow them. Built once for
 * a model; a question takes time that depends on what bears on the variables asked about.
 */
final class Movers {
  private static final int NEVER = -1;

  private final Reads reads;
  private final List<Assignment> reactions;
  private final Map<Integer, List<Integer>> reactionsTo = new HashMap<>();
  private final Map<Integer, BitSet> changesOf = new HashMap<>();
  private final Map<Integer, BitSet> changesAfter = new HashMap<>();

  Movers(Reads reads) {
    this.reads = reads;
    Model model = reads.model();
    this.reactions = model.reactions();
    for (int place = 0; place < reactions.size(); place++) {
      reactionsTo.computeIfAbsent(reactions.get(place).variable(), v -> new ArrayList<>()).add(place);
    }
    for (FieldChange c : model.changes()) {
      for (Assignment a : c.effects()) {
        changesOf.computeIfAbsent(a.variable(), v -> new BitSet()).set(c.id());
      }
      if (c.timing() != null) {
        changesAfter.computeIfAbsent(c.timing().clock(), k -> new BitSet()).set(c.id());
      }
    }
  }

  /** The changes that wait for the clock, and those that may move one of the variables, by number. */
  BitSet of(int clock, BitSet variables) {
    BitSet changes = new BitSet();
    changes.or(changesAfter.getOrDefault(clock, changes));
    before(variables).forEach((v, place) -> changes.or(changesOf.getOrDefault(v, changes)));
    return changes;
  }

  /** The variable, and what the reactions read that move it. A fresh set. */
  BitSet answeredBy(int variable) {
    BitSet around = new BitSet();
    around.set(variable);
    for (int place : reactionsTo.getOrDefault(variable, List.of())) {
      around.or(reads.of(reactions.get(place).value()));
    }
    return around;
  }

  /**
   * What moves one of the variables if it moves before the reaction at the place given here: reactions
   * are carried out in order, so that each answers only to those before it.
   */
  private Map<Integer, Integer> before(BitSet variables) {
    Map<Integer, Integer> before = new HashMap<>();
    var open = new ArrayDeque<Integer>();
    variables.stream().forEach(v -> {
      before.put(v, reactions.size());
      open.add(v);
    });
    while (!open.isEmpty()) {
      int v = open.remove();
      int bound = before.getOrDefault(v, NEVER);
      for (int place : reactionsTo.getOrDefault(v, List.of())) {
        if (place >= bound) {
          continue;
        }
        reads.of(reactions.get(place).value()).stream().forEach(read -> {
          if (before.getOrDefault(read, NEVER) < place) {
            before.put(read, place);
            open.add(read);
          }
        });
      }
    }
    return before;
  }
}
