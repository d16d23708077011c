package stoplog.plants.random;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A small plant before it is written down. All times are whole seconds.
 *
 * @param reaction the reaction time; 0 for an immediate controller
 * @param coincident how many changes may share a scan of an immediate controller
 * @param comingAndGoing how many conditions come and go
 * @param delay the window of the adjustable delay
 * @param limits the windows of the adjustable limits of analysers, in mV
 */
record SmallPlant(
    int reaction,
    int coincident,
    boolean powerMayFail,
    List<Machine> equipment,
    int comingAndGoing,
    @Nullable Said derived,
    @Nullable Tank level,
    List<Instrument> instruments,
    List<Control> panel,
    Window delay,
    List<Window> limits,
    List<Memory> memories,
    List<Extra> extras,
    List<Asked> claims,
    @Nullable Played played) {

  SmallPlant {
    equipment = List.copyOf(equipment);
    instruments = List.copyOf(instruments);
    panel = List.copyOf(panel);
    limits = List.copyOf(limits);
    memories = List.copyOf(memories);
    extras = List.copyOf(extras);
    claims = List.copyOf(claims);
  }

  /** From {@code low} to {@code low + more}. */
  record Window(int low, int more) {}

  /** A condition. In a place that allows no delays, a lasting one means what must last. */
  sealed interface Said {
    /** One of the things that may be named here, and one of the things to say about it. */
    record Thing(int which, int form) implements Said {}

    record Not(Said operand) implements Said {}

    record Both(Said left, Said right) implements Said {}

    record Either(Said left, Said right) implements Said {}

    record Lasting(Said operand, int seconds, boolean adjustable) implements Said {}
  }

  /** A valve or a pump. */
  sealed interface Machine {
    /** What commands it; {@code null} if it is moved by hand. */
    @Nullable Drive drive();

    /**
     * @param fails 0 closed, 1 open, 2 in place
     * @param proves bit 0 open, bit 1 closed
     */
    record Valve(@Nullable Window travel, int fails, int proves, @Nullable Drive drive)
        implements Machine {}

    /**
     * @param proves bit 0 running, bit 1 turning, bit 2 at rest
     */
    record Pump(
        @Nullable Window ramp, @Nullable Window coast, int proves, @Nullable Drive drive)
        implements Machine {}
  }

  record Drive(Said when, List<Guard> guards) {
    Drive {
      guards = List.copyOf(guards);
    }
  }

  /**
   * @param kind 0 permissive, 1 interlock, 2 trip
   * @param resetBy for a trip, what resets it unless it is left to the reset button
   */
  record Guard(int kind, Said condition, Said resetBy, boolean resetButton) {}

  /**
   * @param start where it starts, in percent; {@code null} for anywhere
   */
  record Tank(List<Flow> flows, @Nullable Integer start) {
    Tank {
      flows = List.copyOf(flows);
    }
  }

  /** From empty to full, or from full to empty. */
  record Flow(boolean fills, Window time, Said during) {}

  sealed interface Instrument {
    record Switch(Said follows, @Nullable Window lag) implements Instrument {}

    /**
     * @param of what puts it on one side of 300 mV; {@code null} for nothing
     */
    record Analyser(@Nullable Said of, boolean above, Window lag) implements Instrument {}
  }

  enum Control {
    HOLD_BUTTON,
    BUTTON,
    SELECTOR
  }

  sealed interface Memory {
    /**
     * @param wins 0 not said, 1 cleared wins, 2 set wins
     */
    record Latch(Said set, Said cleared, int wins, boolean retained) implements Memory {}

    record Signal(Said value) implements Memory {}
  }

  /** A claim. */
  sealed interface Asked {
    /**
     * @param seconds for how long; 0 for no time allowed
     * @param wanted whether it is required that it can be
     */
    record Holds(Said condition, int seconds, boolean wanted) implements Asked {}

    record Response(Said after, Said then, int seconds) implements Asked {}

    /**
     * @param form 0 never together, 1 once .. stays until, 2 always can
     */
    record Other(int form, Said one, Said two, Said three) implements Asked {}

    /**
     * @param limit 0 tolerates a fault, 1 assuming, 2 without power failure
     */
    record Limited(Asked claim, int limit, Said assumed) implements Asked {}
  }

  /**
   * A scenario.
   *
   * @param given what holds at the start; {@code null} for nothing said
   * @param deeds which thing something is done to, in the order of time, a second or two apart
   * @param looks at what is looked, after each deed
   */
  record Played(
      boolean certain, @Nullable Said given, List<Integer> deeds, List<Look> looks) {
    Played {
      deeds = List.copyOf(deeds);
      looks = List.copyOf(looks);
    }
  }

  /**
   * @param form 0 at a time, 1 from one to the next, 2 by a time
   */
  record Look(int form, Said condition) {}
}
