package stoplog.plants.random;

import java.util.List;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.Tuple;
import org.jspecify.annotations.Nullable;
import stoplog.plants.random.SmallPlant.Asked;
import stoplog.plants.random.SmallPlant.Control;
import stoplog.plants.random.SmallPlant.Drive;
import stoplog.plants.random.SmallPlant.Flow;
import stoplog.plants.random.SmallPlant.Guard;
import stoplog.plants.random.SmallPlant.Instrument;
import stoplog.plants.random.SmallPlant.Machine;
import stoplog.plants.random.SmallPlant.Look;
import stoplog.plants.random.SmallPlant.Memory;
import stoplog.plants.random.SmallPlant.Played;
import stoplog.plants.random.SmallPlant.Said;
import stoplog.plants.random.SmallPlant.Tank;
import stoplog.plants.random.SmallPlant.Window;

/**
 * Draws small plants from everything the language has. Simplest first, so that shrinking takes away
 * what a disagreement does not need.
 */
final class SmallPlants {
  private SmallPlants() {}

  /**
   * @param most how many machines, instruments and controls there may be of each, and memories
   */
  static Arbitrary<SmallPlant> any(int most) {
    Arbitrary<Head> heads =
        Combinators.combine(
                Arbitraries.frequency(Tuple.of(3, 0), Tuple.of(2, 1)),
                Arbitraries.frequency(Tuple.of(3, 2), Tuple.of(2, 1)),
                flag(4),
                time(),
                window(100, 250, 120).list().ofMaxSize(2))
            .as(Head::new);
    Arbitrary<Truth> truths =
        Combinators.combine(
                machine().list().ofMinSize(1).ofMaxSize(most),
                number(1),
                said(1, false).injectNull(0.75),
                tank().injectNull(0.75),
                instrument().list().ofMaxSize(most))
            .as(Truth::new);
    Arbitrary<Program> programs =
        Combinators.combine(
                control().list().ofMaxSize(most),
                memory().list().ofMaxSize(most),
                extra().list().ofMaxSize(1),
                asked().list().ofMinSize(1).ofMaxSize(2),
                played().injectNull(0.85))
            .as(Program::new);
    return Combinators.combine(heads, truths, programs).as(SmallPlants::plant);
  }

  private record Head(
      int reaction, int coincident, boolean power, Window delay, List<Window> limits) {}

  private record Truth(
      List<Machine> equipment,
      int comingAndGoing,
      @Nullable Said derived,
      @Nullable Tank level,
      List<Instrument> instruments) {}

  private record Program(
      List<Control> panel, List<Memory> memories, List<Extra> extras, List<Asked> claims, @Nullable Played played) {}

  private static SmallPlant plant(Head h, Truth t, Program p) {
    return new SmallPlant(
        h.reaction(),
        h.coincident(),
        h.power(),
        t.equipment(),
        t.comingAndGoing(),
        t.derived(),
        t.level(),
        t.instruments(),
        p.panel(),
        h.delay(),
        h.limits(),
        p.memories(),
        p.extras(),
        p.claims(),
        p.played());
  }

  private static Arbitrary<Machine> machine() {
    Arbitrary<Machine> valve =
        Combinators.combine(time().injectNull(0.4), number(2), number(3), drive())
            .as(Machine.Valve::new);
    Arbitrary<Machine> pump =
        Combinators.combine(
                time().injectNull(0.6), time().injectNull(0.5), number(7), drive())
            .as(Machine.Pump::new);
    return Arbitraries.oneOf(pump, valve);
  }

  private static Arbitrary<Drive> drive() {
    Arbitrary<Drive> drive =
        Combinators.combine(said(1, true), guard().list().ofMaxSize(2)).as(Drive::new);
    return drive.injectNull(0.2);
  }

  private static Arbitrary<Guard> guard() {
    return Combinators.combine(number(2), said(1, true), said(0, true), flag(2)).as(Guard::new);
  }

  private static Arbitrary<Tank> tank() {
    Arbitrary<Flow> flow =
        Combinators.combine(flag(2), window(2, 4, 2), said(1, false)).as(Flow::new);
    Arbitrary<Integer> start = Arbitraries.of(0, 50, 100);
    return Combinators.combine(flow.list().ofMinSize(1).ofMaxSize(2), start.injectNull(0.4))
        .as(Tank::new);
  }

  private static Arbitrary<Instrument> instrument() {
    Arbitrary<Instrument> aSwitch =
        Combinators.combine(said(1, false), time().injectNull(0.3)).as(Instrument.Switch::new);
    Arbitrary<Instrument> analyser =
        Combinators.combine(said(0, false).injectNull(0.4), flag(2), time())
            .as(Instrument.Analyser::new);
    return Arbitraries.frequencyOf(Tuple.of(3, aSwitch), Tuple.of(2, analyser));
  }

  private static Arbitrary<Control> control() {
    return Arbitraries.of(Control.class);
  }

  private static Arbitrary<Memory> memory() {
    Arbitrary<Memory> latch =
        Combinators.combine(said(1, true), said(1, true), number(2), flag(3))
            .as(Memory.Latch::new);
    Arbitrary<Memory> signal = said(2, true).map(Memory.Signal::new);
    return Arbitraries.oneOf(signal, latch);
  }

  private static Arbitrary<Asked> asked() {
    Arbitrary<Asked> holds =
        Combinators.combine(said(2, false), number(3), flag(4)).as(Asked.Holds::new);
    Arbitrary<Asked> response =
        Combinators.combine(said(1, false), said(1, false), Arbitraries.integers().between(1, 4))
            .as(Asked.Response::new);
    Arbitrary<Asked> other =
        Combinators.combine(number(2), said(1, false), said(1, false), said(0, false))
            .as(Asked.Other::new);
    Arbitrary<Asked> plain =
        Arbitraries.frequencyOf(Tuple.of(8, holds), Tuple.of(2, response), Tuple.of(1, other));
    Arbitrary<Asked> limited =
        Combinators.combine(plain, number(2), said(0, false)).as(Asked.Limited::new);
    return Arbitraries.frequencyOf(Tuple.of(5, plain), Tuple.of(2, limited));
  }

  private static Arbitrary<Played> played() {
    Arbitrary<Look> look =
        Combinators.combine(number(2), said(1, false)).as(Look::new);
    return Combinators.combine(
            flag(2),
            said(0, false).injectNull(0.5),
            number(20).list().ofMinSize(1).ofMaxSize(2),
            look.list().ofMinSize(1).ofMaxSize(2))
        .as(Played::new);
  }

  private static Arbitrary<Extra> extra() {
    Arbitrary<Said> truth = said(0, false);
    Arbitrary<Said> field = said(0, true);
    Arbitrary<Window> window = time().injectNull(0.5);
    List<Arbitrary<? extends Extra>> all =
        List.of(
            Combinators.combine(window, truth, window, truth, number(2)).as(ProcessExtra.Caused::new),
            Combinators.combine(window, truth, truth, number(3)).as(ProcessExtra.Tally::new),
            Combinators.combine(number(3), window(2, 4, 2), truth, truth, window, flag(4))
                .as(ProcessExtra.Measured::new),
            Combinators.combine(flag(2), truth, window).as(ProcessExtra.Wired::new),
            Combinators.combine(window, field, field, truth).as(EquipmentExtra.OwnKind::new),
            Combinators.combine(number(2), window, field, field).as(EquipmentExtra.Shipped::new),
            Combinators.combine(number(2), field, field).as(LogicExtra.Bypass::new),
            Combinators.combine(flag(2), field, field, field).as(LogicExtra.Remembered::new),
            Combinators.combine(flag(2), field, field.injectNull(0.5), field)
                .as(LogicExtra.Counted::new),
            Combinators.combine(field, field, field).as(LogicExtra.Turns::new),
            Combinators.combine(flag(2), flag(2), field, field, field, field)
                .as(LogicExtra.Alarms::new),
            Combinators.combine(number(8), field, field, field).as(LogicExtra.Votes::new),
            Combinators.combine(
                    number(3), number(2), field, field, field,
                    field.injectNull(0.7), field.injectNull(0.7))
                .as(LogicExtra.Chart::new),
            Combinators.combine(window, field, field, field).as(EquipmentExtra.Piped::new),
            Combinators.combine(field, flag(2)).as(EquipmentExtra.Twice::new));
    return Arbitraries.integers()
        .between(0, all.size() - 1)
        .flatMap(which -> all.get(which).map(e -> (Extra) e));
  }

  /** A condition at most this deep; the logic may say delays. */
  private static Arbitrary<Said> said(int depth, boolean delays) {
    Arbitrary<Said> thing = Combinators.combine(number(11), number(4)).as(Said.Thing::new);
    Arbitrary<Said> lasting =
        depth > 0
            ? Combinators.combine(
                    said(depth - 1, false), Arbitraries.integers().between(1, 3), flag(4))
                .as(Said.Lasting::new)
            : Combinators.combine(thing, Arbitraries.integers().between(1, 3), flag(4))
                .as(Said.Lasting::new);
    if (depth == 0) {
      return delays ? Arbitraries.frequencyOf(Tuple.of(6, thing), Tuple.of(1, lasting)) : thing;
    }
    Arbitrary<Said> inner = said(depth - 1, delays);
    Arbitrary<Said> not = inner.map(Said.Not::new);
    Arbitrary<Said> both = Combinators.combine(inner, inner).as(Said.Both::new);
    Arbitrary<Said> either = Combinators.combine(inner, inner).as(Said.Either::new);
    return Arbitraries.frequencyOf(
        Tuple.of(6, thing),
        Tuple.of(2, not),
        Tuple.of(4, both),
        Tuple.of(2, either),
        Tuple.of(delays ? 2 : 0, lasting));
  }

  /** From 0 to this, all as likely. */
  private static Arbitrary<Integer> number(int most) {
    Integer[] numbers = new Integer[most + 1];
    for (int i = 0; i <= most; i++) {
      numbers[i] = i;
    }
    return Arbitraries.of(numbers);
  }

  /** True once in so many times. */
  private static Arbitrary<Boolean> flag(int times) {
    return Arbitraries.frequency(Tuple.of(times - 1, false), Tuple.of(1, true));
  }

  private static Arbitrary<Window> time() {
    return window(1, 2, 1);
  }

  private static Arbitrary<Window> window(int low, int high, int more) {
    return Combinators.combine(number(high - low), number(more))
        .as((above, wider) -> new Window(low + above, wider));
  }
}
