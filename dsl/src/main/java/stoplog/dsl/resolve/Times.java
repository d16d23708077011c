package stoplog.dsl.resolve;

import java.util.function.Consumer;

/** Every time constant of a plant, and the quantum they share. */
public final class Times {
  private static final long SECOND = 1_000_000;

  private Times() {}

  /** Each window; a fixed time is a window whose ends are equal. */
  public static void each(ResolvedPlant plant, Consumer<TimeWindow> visitor) {
    if (plant.reacts() != null) {
      long micros = plant.reacts().micros();
      visitor.accept(new TimeWindow(micros, micros, plant.reacts().span()));
    }
    plant.equipment().forEach(e -> e.windows().values().forEach(visitor));
    plant.equipment().forEach(e -> e.lags().values().forEach(visitor));
    plant.levels().forEach(l -> l.movements().forEach(m -> visitor.accept(m.time())));
    plant.caused().forEach(c -> c.causes().forEach(w -> cause(w, visitor)));
    plant.counts().forEach(c -> c.causes().forEach(w -> cause(w, visitor)));
    for (ResolvedPlant.Transmitting t : plant.transmitters()) {
      if (t.lag() != null) {
        visitor.accept(t.lag());
      }
    }
    for (ResolvedPlant.Following s : plant.switches()) {
      if (s.lag() != null) {
        visitor.accept(s.lag());
      }
    }
    for (ResolvedPlant.Measuring a : plant.analysers()) {
      if (a.side() != null) {
        visitor.accept(a.side().lag());
      }
    }
    plant.eachLogicTerm(
        t -> {
          if (t instanceof Term.Timed l) {
            visitor.accept(l.window());
          }
        });
    for (Statement s : plant.program()) {
      if (s instanceof Chart c) {
        for (Chart.Transition t : c.transitions()) {
          if (t.after() != null) {
            visitor.accept(t.after());
          }
        }
      }
    }
    for (Scenario s : plant.scenarios()) {
      s.eachTime((micros, span) -> visitor.accept(new TimeWindow(micros, micros, span)));
    }
    for (ResolvedPlant.Claim c : plant.claims()) {
      visitor.accept(new TimeWindow(c.micros(), c.micros(), c.span()));
    }
  }

  private static void cause(ResolvedPlant.Cause c, Consumer<TimeWindow> visitor) {
    if (c.within() != null) {
      visitor.accept(c.within());
    }
  }

  /** The greatest common divisor of all of them, in microseconds; a second if there are none. */
  public static long quantumMicros(ResolvedPlant plant) {
    long[] common = {0};
    each(plant, w -> common[0] = gcd(gcd(common[0], w.lowMicros()), w.highMicros()));
    return common[0] == 0 ? SECOND : common[0];
  }

  private static long gcd(long a, long b) {
    while (b != 0) {
      long rest = a % b;
      a = b;
      b = rest;
    }
    return a;
  }
}
