package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.same;
import static stoplog.checker.testkit.ModelBuilder.shift;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;

/** What is given to a plant that lacks something. */
class SeekingTest {
  private final ModelBuilder m = new ModelBuilder("plant");
  private final Var a = m.switched("a");
  private final Var b = m.switched("b");
  private List<Integer> sought = List.of();
  private int asked;

  /** What helps towards the condition where the plant starts. */
  private List<String> helpful(Expr condition) {
    return helpful(condition, false);
  }

  private List<String> helpful(Expr condition, boolean nearestFirst) {
    m.can("R-" + ++asked, condition);
    Model model = m.build();
    int[] values =
        model.variables().stream()
            .mapToInt((Variable v) -> Long.numberOfTrailingZeros(v.initial()))
            .toArray();
    Expr goal = model.claims().getLast().condition();
    var seeking = new Seeking(new Reads(model), goal, values, false, nearestFirst);
    List<String> helpful = seeking.helpful().stream().map(FieldChange::text).toList();
    sought = seeking.sought();
    return helpful;
  }

  @Test
  void whatHoldsLacksNothing() {
    assertEquals(List.of(), helpful(all(a.off(), b.off())));
  }

  @Test
  void itIsSoughtThroughTheFieldAndTheLogic() {
    Var command = m.bit("command", Role.COMMAND);
    Var pump = m.bit("pump", Role.EQUIPMENT);
    Var other = m.switched("other");
    m.scans(command.to(all(a.on(), b.on()))).reactions(pump.to(command.read()));
    assertEquals(List.of("a on", "b on"), helpful(all(pump.on(), other.off())));
    assertEquals(List.of(a.id(), b.id(), command.id(), pump.id()), sought);
  }

  @Test
  void ofSeveralWaysTheFirstThatIsOneServes() {
    Var shut = m.bit("shut", Role.PROCESS);
    assertEquals(List.of("a on"), helpful(any(shut.on(), a.on(), b.on())));
  }

  /** An operator can move a setpoint at once; a reading moves only when what it follows has moved. */
  @Test
  void whatCanBeGivenAtOnceGoesBeforeWhatFirstNeedsSomethingElse() {
    Var above = m.bit("above", Role.PANEL);
    m.change("reading rises").by(Cause.PROCESS).when(b.on()).does(above.to(1));
    m.change("setpoint lowered").when(above.off()).does(above.to(1));
    assertEquals(List.of("b on"), helpful(above.on()));
    assertEquals(List.of("setpoint lowered"), helpful(above.on(), true));
    a.starts(1);
    assertEquals(List.of("b on"), helpful(all(b.on(), a.on()), true));
  }

  @Test
  void whatNothingHelpsKeepsNobodyFromTheRest() {
    Var shut = m.bit("shut", Role.PROCESS);
    assertEquals(List.of("a on", "b on"), helpful(all(a.on(), shut.on(), b.on())));
  }

  @Test
  void whatIsDeniedIsSoughtTheOtherWayRound() {
    a.starts(1);
    b.starts(1);
    assertEquals(List.of("a off"), helpful(not(all(a.on(), b.on()))));
    assertEquals(List.of("a off", "b off"), helpful(not(any(a.on(), b.on()))));
    assertEquals(List.of("a off"), helpful(not(a.read())));
  }

  @Test
  void oneOfManyValuesIsSought() {
    Var level = m.number("level", Role.PROCESS, 4);
    for (int to = 3; to >= 0; to--) {
      m.change("to " + to).does(level.to(to));
    }
    assertEquals(List.of("to 1"), helpful(level.is(1)));
    assertEquals(List.of("to 3"), helpful(not(level.is(0))));
    assertEquals(List.of("to 2"), helpful(same(shift(level.read(), 1), value(3))));
    assertEquals(List.of("to 2"), helpful(same(value(1), shift(level.read(), -1))));
    assertEquals(List.of("to 3"), helpful(not(same(value(0), level.read()))));
  }

  @Test
  void aChoiceIsSoughtWhereItMayBecomeSo() {
    assertEquals(List.of("b on"), helpful(choose(a.on(), Expr.TRUE, b.on())));
    assertEquals(List.of("a on", "b on"), helpful(choose(a.on(), b.on(), Expr.FALSE)));
    assertEquals(List.of(), helpful(choose(a.on(), Expr.FALSE, Expr.FALSE)));
  }

  @Test
  void aLatchIsSetAndNotReleased() {
    Var latch = m.bit("latch", Role.MEMORY);
    Var reset = m.switched("reset").starts(1);
    m.scans(latch.to(choose(a.on(), value(1), choose(reset.on(), value(0), latch.read()))));
    assertEquals(List.of("a on"), helpful(latch.on()));
  }

  @Test
  void whatHasNoValueHereDoesNotServe() {
    Var dirty = m.number("dirty", Role.PROCESS, 3);
    m.change("falls").when(not(dirty.is(0))).does(dirty.to(shift(dirty.read(), -1)));
    m.change("rises").when(not(dirty.is(2))).does(dirty.to(shift(dirty.read(), 1)));
    assertEquals(List.of("rises"), helpful(dirty.is(1)));
    Var fewer = m.number("fewer", Role.MEMORY, 3);
    m.scans(fewer.to(choose(dirty.is(0), value(1), shift(dirty.read(), -1))));
    assertEquals(List.of("rises"), helpful(fewer.is(2)));
    assertEquals(List.of("a on"), helpful(any(same(shift(dirty.read(), -1), value(5)), a.on())));
  }

  @Test
  void nobodyIsHelpedByAFaultOrByAPowerFailure() {
    Var valve = m.bit("valve", Role.EQUIPMENT);
    Var power = m.bit("power", Role.POWER).starts(1);
    m.change("breaks").by(Cause.FAULT).does(valve.to(1));
    m.change("power fails").by(Cause.POWER).when(power.on()).does(power.to(0), valve.to(1));
    assertEquals(List.of(), helpful(valve.on()));
    assertEquals(List.of("power fails"), helpful(power.off()));
  }

  @Test
  void theConditionOfAChangeAndOfItsClockIsSoughtFirst() {
    Var tank = m.number("tank", Role.PROCESS, 3);
    m.change("fills").when(a.on()).does(tank.to(1));
    m.change("heats").by(Cause.EQUIPMENT).from(m.clock("heating", b.on()), 5).does(tank.to(2));
    assertEquals(List.of("a on"), helpful(tank.is(1)));
    assertEquals(List.of("b on"), helpful(tank.is(2)));
  }

  @Test
  void onlyWhatTheProcessMayDoAtWillIsGiven() {
    Var tank = m.number("tank", Role.PROCESS, 4);
    m.change("drips").from(m.clock("dripping", tank.is(0)), 5).does(tank.to(1));
    m.change("bursts").from(m.clock("ageing", tank.is(0)).limit(9), 5).does(tank.to(2));
    m.change("opens").by(Cause.EQUIPMENT).from(m.clock("opening", tank.is(0)), 5).does(tank.to(3));
    assertEquals(List.of("drips"), helpful(tank.is(1)));
    assertEquals(List.of(), helpful(tank.is(2)));
    assertEquals(List.of(), helpful(tank.is(3)));
  }

  @Test
  void ringsAreGoneThroughOnce() {
    var ring = new ArrayList<Var>();
    for (int i = 0; i < 8; i++) {
      ring.add(m.bit("ring" + i, Role.MEMORY));
    }
    Expr some = any(ring.stream().map(Var::on).toList());
    ring.forEach(v -> m.scans(v.to(some)));
    assertEquals(List.of(), soon(ring.getFirst().on()));
    m.scans(ring.getLast().to(any(some, a.on())));
    assertEquals(List.of("a on"), soon(ring.getFirst().on()));
  }

  private List<String> soon(Expr condition) {
    return assertTimeoutPreemptively(Duration.ofSeconds(30), () -> helpful(condition));
  }

  @Test
  void itLooksFarBackAndAtManyThings() {
    Expr before = a.on();
    for (int i = 0; i < 90; i++) {
      Var next = m.bit("next" + i, Role.MEMORY);
      m.scans(next.to(before));
      before = next.on();
    }
    assertEquals(List.of("a on"), helpful(before));
    var many = new ArrayList<Expr>();
    for (int i = 0; i < 200; i++) {
      many.add(m.switched("many" + i).on());
    }
    assertEquals(200, helpful(all(many)).size());
    assertTrue(sought.size() == 200, sought.toString());
  }
}
