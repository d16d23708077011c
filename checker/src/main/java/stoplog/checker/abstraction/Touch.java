package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import stoplog.model.Assignment;
import stoplog.model.Clock;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * What of a model has to be looked at again once a variable has another value: the assignments of a scan
 * and the reactions that read or assign it. Built once per model, in time linear in its size. Immutable.
 */
final class Touch {
  private static final int[] NOTHING = {};

  private final int[][] program;
  private final int[][] reactions;
  private final int[][] timedBy;
  private final BitSet limited = new BitSet();

  /** What is watched whatever the claim. */
  private final BitSet watched = new BitSet();

  Touch(Reads reads) {
    Model model = reads.model();
    this.program = places(reads, model.controller().program());
    this.reactions = places(reads, model.reactions());
    this.timedBy = new int[model.clocks().size()][];
    Arrays.fill(timedBy, NOTHING);
    for (FieldChange c : model.changes()) {
      FieldChange.Timing t = c.timing();
      if (t != null) {
        timedBy[t.clock()] = with(timedBy[t.clock()], c.id());
      }
      reads.ofChange(c.id(), watched);
    }
    for (Clock c : model.clocks()) {
      limited.set(c.id(), c.limit() != null);
    }
    watched.or(reads.betweenSteps());
    watched.and(reads.programmed());
    watched.or(reads.visible());
  }

  private static int[][] places(Reads reads, List<Assignment> assignments) {
    int variables = reads.model().variables().size();
    int[] counts = new int[variables];
    int[][] places = new int[variables][];
    Arrays.fill(places, NOTHING);
    for (int at = 0; at < assignments.size(); at++) {
      BitSet touching = reads.of(assignments.get(at).value());
      touching.set(assignments.get(at).variable());
      for (int v = touching.nextSetBit(0); v >= 0; v = touching.nextSetBit(v + 1)) {
        if (counts[v] == places[v].length) {
          places[v] = Arrays.copyOf(places[v], Math.max(4, 2 * counts[v]));
        }
        places[v][counts[v]++] = at;
      }
    }
    for (int v = 0; v < variables; v++) {
      places[v] = Arrays.copyOf(places[v], counts[v]);
    }
    return places;
  }

  private static int[] with(int[] list, int more) {
    int[] longer = Arrays.copyOf(list, list.length + 1);
    longer[list.length] = more;
    return longer;
  }

  /** Where in the program the variable is read or assigned, ascending. Not to be changed. */
  int[] program(int variable) {
    return program[variable];
  }

  /** The same among the reactions. */
  int[] reactions(int variable) {
    return reactions[variable];
  }

  /** The changes that wait for a clock, ascending. Not to be changed. */
  int[] timedBy(int clock) {
    return timedBy[clock];
  }

  /** Whether a clock has a limit. */
  boolean isLimited(int clock) {
    return limited.get(clock);
  }

  /** What the controller watches for a claim (see {@link stoplog.model.Controller}). A fresh set. */
  BitSet watchedFor(BitSet readByClaim, BitSet programmed) {
    BitSet all = (BitSet) readByClaim.clone();
    all.and(programmed);
    all.or(watched);
    return all;
  }
}
