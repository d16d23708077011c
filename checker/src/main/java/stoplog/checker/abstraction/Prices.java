package stoplog.checker.abstraction;

import java.util.BitSet;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * What is taken to be unlikely in a run: that something comes of its own accord, a fault above all, and
 * that it comes while the plant is still on its way from what came before.
 */
final class Prices {
  private static final int POWER = 2;
  private static final int FAULT = 3;
  private static final int HURRY = 1;

  private final BitSet inputs = new BitSet();
  private final int[] prices;
  private final BitSet unsettled = new BitSet();

  Prices(Model model, Claim claim, KeptSystem whole, BitSet bearing) {
    this.prices = new int[whole.stepCount()];
    for (FieldChange c : model.changes()) {
      FieldChange.Timing timing = whole.timing(c.id());
      if (timing == null) {
        prices[c.id()] =
            switch (c.cause()) {
              case OPERATOR, PROCESS, EQUIPMENT, INSTRUMENT, TIMER -> 1;
              case POWER -> POWER;
              case FAULT -> FAULT;
            };
        boolean bears = c.effects().stream().anyMatch(e -> bearing.get(e.variable()));
        inputs.set(c.id(), bears && claim.admits(c));
      } else if (c.cause() == FieldChange.Cause.EQUIPMENT
          || c.cause() == FieldChange.Cause.INSTRUMENT) {
        unsettled.set(timing.clock());
      }
    }
    int due = whole.restarts(whole.scanStep());
    if (due >= 0) {
      unsettled.set(due);
    }
  }

  /** The changes that wait for nothing, as far as the claim depends on them. Not to be changed. */
  BitSet inputs() {
    return inputs;
  }

  /** Whether a step waits for nothing but what is so at that instant. */
  boolean isInput(int step) {
    return prices[step] > 0;
  }

  /** What a step costs where these clocks run; nothing if it only waits for its time or is a scan. */
  int of(int step, int[] running) {
    int price = prices[step];
    for (int i = 0; price > 0 && i < running.length; i++) {
      if (unsettled.get(running[i])) {
        return price + HURRY;
      }
    }
    return price;
  }
}
