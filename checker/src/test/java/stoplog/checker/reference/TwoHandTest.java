package stoplog.checker.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.not;

import java.util.Set;
import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.checker.testkit.Run;
import stoplog.checker.testkit.Script;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * Two-hand control after ISO 13851:2019, type III C (clause numbers from memory): the output comes on
 * only if both buttons are pressed within 0.5 s of each other, the release of either ends it, and it
 * comes on again only after both were released. One quantum is 1 ms.
 */
class TwoHandTest {
  private static final long WITHIN_MS = 500;
  private static final int TICKS = 2;

  private final ModelBuilder m = new ModelBuilder("two-hand control");
  private final Var left = m.switched("left");
  private final Var right = m.switched("right");
  private final Var phase =
      m.variable("phase", Role.TIMER, "ready", "one pressed", "both pressed", "spent");
  private final Var output = m.bit("output", Role.COMMAND);

  /** The wait for the second hand is over after 0.5 s, but before 0.501 s. */
  private void logic(long waitMs) {
    Watch wait = m.clock("second hand", phase.is("one pressed")).limit(Bound.open(waitMs + 1));
    m.change("second hand late")
        .by(Cause.TIMER)
        .within(wait, Bound.open(waitMs), Bound.open(waitMs + 1))
        .does(phase.to("spent"));
    Expr both = all(left.on(), right.on());
    Expr none = all(left.off(), right.off());
    Expr held =
        choose(
            phase.is("ready", "one pressed"),
            choose(both, value(2), value(1)),
            choose(all(phase.is("both pressed"), both), value(2), value(3)));
    m.scans(phase.to(choose(none, value(0), held)), output.to(phase.is("both pressed")));
  }

  private Script script() {
    logic(WITHIN_MS);
    return new Script(m.build(), Run.NO_CLAIM, TICKS);
  }

  private Set<Integer> outputWithRightAfter(long ms) {
    return script().at(0, "left on").at(ms * TICKS, "right on").valuesAt(600 * TICKS, "output");
  }

  @Test
  void bothWithin499MillisecondsTurnTheOutputOn() {
    assertEquals(Set.of(1), outputWithRightAfter(499));
  }

  @Test
  void bothWithin500MillisecondsTurnTheOutputOn() {
    assertEquals(Set.of(1), outputWithRightAfter(500));
  }

  @Test
  void bothWithin501MillisecondsLeaveTheOutputOff() {
    assertEquals(Set.of(0), outputWithRightAfter(501));
  }

  @Test
  void theReleaseOfEitherEndsItAndBothMustBeReleasedBeforeItComesOnAgain() {
    Script script =
        script()
            .at(0, "left on")
            .at(100, "right on")
            .at(200, "left off")
            .at(300, "left on")
            .at(400, "right off")
            .at(500, "left off")
            .at(600, "right on")
            .at(700, "left on");
    assertEquals(Set.of("100-200 700-900"), script.waves("output", 900));
  }

  @Test
  void noRunTurnsItOnAgainBeforeBothWereReleased() {
    // The wait is 2 ms here: the claim does not depend on it, and the judge tries everything.
    logic(2);
    Var used = m.variable("used", Role.MONITOR, "no", "on", "ended");
    Expr afterOn = choose(output.on(), value(1), value(2));
    Expr next =
        choose(used.is("no"), choose(output.on(), value(1), value(0)),
            choose(used.is("on"), afterOn, value(2)));
    m.hazard("again", all(used.is("ended"), output.on()))
        .remembering(used.to(choose(all(left.off(), right.off(), output.off()), value(0), next)));
    m.hazard("one hand", all(output.on(), not(all(left.on(), right.on()))));
    m.can("on", output.on());
    Model model = m.build();
    assertInstanceOf(TickJudge.No.class, judged(model, "again"));
    assertInstanceOf(TickJudge.No.class, judged(model, "one hand"));
    assertInstanceOf(TickJudge.Yes.class, judged(model, "on"));
  }

  private static TickJudge.Answer judged(Model model, String claim) {
    return TickJudge.reachable(model, model.claim(claim), 100_000);
  }
}
