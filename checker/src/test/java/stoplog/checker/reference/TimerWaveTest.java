package stoplog.checker.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;

import java.util.Set;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.checker.testkit.Run;
import stoplog.checker.testkit.Script;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * The three timers as scan programs, preset 5, against the IEC 61131-3 timing diagrams. Where the
 * preset elapses at the very instant at which the input turns, both orders are followed, and each
 * expected wave says which order it is.
 */
class TimerWaveTest {
  private static final long PRESET = 5;
  private static final long END = 45;

  /** Input true on 0–8, 12–15, 20–30. */
  private static final long[] W1 = {0, 8, 12, 15, 20, 30};

  /** Input true on 0–3, 10–12, 15–18. */
  private static final long[] W2 = {0, 3, 10, 12, 15, 18};

  /** Input true on 0–8, 10–11, 12–13, 14–22, 23–24. */
  private static final long[] W3 = {0, 8, 10, 11, 12, 13, 14, 22, 23, 24};

  /** Input true on 0–5. */
  private static final long[] W4 = {0, 5};

  private final ModelBuilder m = new ModelBuilder("timer");
  private final Var in = m.switched("IN");
  private final Var q = m.bit("Q", Role.COMMAND);

  /** On-delay: TON. */
  private Model onDelay() {
    Var t = m.variable("t", Role.TIMER, "idle", "timing", "elapsed");
    elapses(t, "timing", "elapsed");
    Expr whileOn = choose(t.is("idle"), value(1), t.read());
    m.scans(t.to(choose(in.on(), whileOn, value(0))), q.to(t.is("elapsed")));
    return m.build();
  }

  /** Off-delay: TOF. */
  private Model offDelay() {
    Var t = m.variable("t", Role.TIMER, "idle", "held", "timing");
    elapses(t, "timing", "idle");
    Expr whileOff = choose(t.is("held"), value(2), t.read());
    m.scans(t.to(choose(in.on(), value(1), whileOff)), q.to(t.is("held", "timing")));
    return m.build();
  }

  /** Pulse: TP. A pulse that has elapsed waits for its input to be off before it can start again. */
  private Model pulse() {
    Var t = m.variable("t", Role.TIMER, "idle", "timing", "elapsed");
    elapses(t, "timing", "elapsed");
    Expr afterIdle = choose(in.on(), value(1), value(0));
    Expr afterElapsed = choose(in.on(), value(2), value(0));
    m.scans(
        t.to(choose(t.is("idle"), afterIdle, choose(t.is("elapsed"), afterElapsed, value(1)))),
        q.to(t.is("timing")));
    return m.build();
  }

  private void elapses(Var timer, String timing, String then) {
    Watch clock = m.clock("t", timer.is(timing)).limit(PRESET);
    m.change("timer elapsed")
        .by(Cause.TIMER)
        .between(clock, PRESET, PRESET)
        .does(timer.to(then));
  }

  private static Script script(Model model, int ticksPerQuantum, long[] turns) {
    var script = new Script(model, Run.NO_CLAIM, ticksPerQuantum);
    for (int i = 0; i < turns.length; i++) {
      script.at(turns[i] * ticksPerQuantum, i % 2 == 0 ? "IN on" : "IN off");
    }
    return script;
  }

  private static Set<String> waves(Model model, long[] turns) {
    return script(model, 1, turns).waves("Q", END);
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3})
  void onDelayFollowsTheDiagram(int coincident) {
    m.coincident(coincident);
    Model model = onDelay();
    // IEC 61131-3 timing diagrams, TON.
    assertEquals(Set.of("5-8 25-30"), waves(model, W1));
    assertEquals(Set.of(""), waves(model, W2));
    assertEquals(Set.of("5-8 19-22"), waves(model, W3));
    assertEquals(Set.of(""), waves(model, W4));
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3})
  void onDelayThatElapsesAsItsInputDropsIsOnForAnInstantOrNot(int coincident) {
    m.coincident(coincident);
    Script w4 = script(onDelay(), 1, W4);
    assertEquals(Set.of(0), w4.valuesAt(4, "Q"));
    assertEquals(Set.of(0, 1), w4.valuesAt(5, "Q"));
    assertEquals(Set.of(0), w4.valuesAt(6, "Q"));
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3})
  void offDelayFollowsTheDiagram(int coincident) {
    m.coincident(coincident);
    Model model = offDelay();
    // IEC 61131-3 timing diagrams, TOF. In W1 the delay of 15 elapses at 20, when the input returns:
    // off for an instant or not at all.
    assertEquals(Set.of("0-35"), waves(model, W1));
    assertEquals(Set.of("0-8 10-23"), waves(model, W2));
    assertEquals(Set.of("0-29"), waves(model, W3));
    assertEquals(Set.of("0-10"), waves(model, W4));
    assertEquals(Set.of(0, 1), script(model, 1, W1).valuesAt(20, "Q"));
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3})
  void pulseFollowsTheDiagram(int coincident) {
    m.coincident(coincident);
    Model model = pulse();
    // IEC 61131-3 timing diagrams, TP. In W2 the pulse of 10 elapses at 15, when the input returns:
    // seen as returning within the pulse it starts none, seen after the pulse it does.
    assertEquals(Set.of("0-5 12-17 20-25"), waves(model, W1));
    assertEquals(Set.of("0-5 10-15", "0-5 10-20"), waves(model, W2));
    assertEquals(Set.of("0-5 10-15 23-28"), waves(model, W3));
    assertEquals(Set.of("0-5"), waves(model, W4));
  }

  @ParameterizedTest
  @ValueSource(ints = {2, 5})
  void finerTicksShowNothingElse(int ticksPerQuantum) {
    Script w1 = script(onDelay(), ticksPerQuantum, W1);
    int t = ticksPerQuantum;
    String expected = 5 * t + "-" + 8 * t + " " + 25 * t + "-" + 30 * t;
    assertEquals(Set.of(expected), w1.waves("Q", END * t));
  }
}
