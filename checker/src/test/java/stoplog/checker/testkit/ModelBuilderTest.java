package stoplog.checker.testkit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;

import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Bound;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Model;
import stoplog.model.Role;

class ModelBuilderTest {
  @Test
  void partsAreWhatWasWritten() {
    var m = new ModelBuilder("valve");
    Var valve = m.equipment("FV-101", "closed", "opening", "open").starts("closed", "open");
    Var command = m.bit("FV-101.command", Role.COMMAND);
    Var start = m.button("start");
    Watch travel = m.clock("travel", valve.is("opening")).limit(8);
    m.change("FV-101 open").by(Cause.EQUIPMENT).between(travel, 4, 8).does(valve.to("open"));
    m.reactions(valve.to(choose(all(command.on(), valve.is("closed")), value(1), valve.read())));
    m.reactsWithin(1).scans(command.to(start.on()), start.to(0));
    m.hazard("H-01", valve.is("open")).longerThan(3);
    Model model = m.build();

    assertEquals(0b101, model.variable("FV-101").initial());
    assertEquals(Bound.at(8), model.clocks().getFirst().limit());
    assertEquals("start pressed", model.changes().getFirst().text());
    assertEquals(new Timing(0, Bound.at(4), Bound.at(8)), model.changes().get(1).timing());
    assertEquals(2, model.controller().program().size());
    assertEquals(3, model.claim("H-01").forQuanta());
  }

  @Test
  void unknownWordsAreRefusedWhereTheyAreWritten() {
    Var valve = new ModelBuilder("valve").equipment("FV-101", "closed", "open");
    assertThrows(IllegalArgumentException.class, () -> valve.is("ajar"));
  }
}
