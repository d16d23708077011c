package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static stoplog.model.Expr.all;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.TickJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/** Pumps that are alike but for one thing at most. */
class LikenessTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));

  /** What is different about the second of three pumps. */
  private static final class Pumps {
    boolean remembersLater;
    boolean anotherOrder;
    long longer = 4;
    boolean movedByAnother;

    Model build() {
      var m = new ModelBuilder("pumps");
      Var power = m.bit("power", Role.POWER).starts(1);
      m.powered(power.on());
      m.change("power fails").when(power.on()).does(power.to(0));
      m.change("power returns").when(power.off()).does(power.to(1));
      m.reactsWithin(3);
      List<Var> valves = new ArrayList<>();
      List<Var> pumps = new ArrayList<>();
      for (int i = 1; i <= 3; i++) {
        valves.add(m.switched("valve " + i));
        pumps.add(m.equipment("pump " + i, "at rest", "running"));
      }
      for (int i = 0; i < 3; i++) {
        boolean second = i == 1;
        Var valve = valves.get(i);
        Var pump = pumps.get(i);
        Var command = m.bit("command " + (i + 1), Role.COMMAND);
        Var memory = m.bit("memory " + (i + 1), Role.MEMORY);
        Expr wanted = second && anotherOrder ? all(memory.off(), valve.on()) : all(valve.on(), memory.off());
        var remembering = memory.to(valve.on());
        var commanding = command.to(wanted);
        if (second && remembersLater) {
          m.scans(commanding, remembering);
        } else {
          m.scans(remembering, commanding);
        }
        m.reactions(pump.to(ModelBuilder.choose(command.on(), ModelBuilder.value(1), ModelBuilder.value(0))));
        if (second && movedByAnother) {
          m.change("knocked").when(power.off()).does(pump.to("running"));
        }
        m.hazard("H-" + (i + 1), pump.is("running")).longerThan(second ? longer : 4);
      }
      return m.build();
    }
  }

  private static @Nullable Verdict over(Pumps pumps) {
    Model model = pumps.build();
    var reads = new Reads(model);
    Claim one = model.claim("H-1");
    Precedent found =
        Precedent.of(reads, Decider.decideRecorded(reads, one, false, BUDGET, Progress.NONE));
    assertInstanceOf(Precedent.Proof.class, found);
    assertNotNull(found.carriedOver(reads, model.claim("H-3"), one), "the third is as the first");
    return found.carriedOver(reads, model.claim("H-2"), one);
  }

  @Test
  void proofIsCarriedToWhatIsAlike() {
    var proved = assertInstanceOf(Verdict.Proved.class, over(new Pumps()));
    assertEquals(
        List.of("pump 2", "command 2", "memory 2"),
        proved.kept().stream().filter(n -> n.endsWith("2")).toList());
    assertEquals(0, proved.effort().searches());
  }

  @Test
  void orderOfOperandsMeansNothing() {
    var pumps = new Pumps();
    pumps.anotherOrder = true;
    assertInstanceOf(Verdict.Proved.class, over(pumps));
  }

  /** Each variable is assigned as its like is, but not in the same place of the scan. */
  @Test
  void orderOfTheProgramMeansSomething() {
    var pumps = new Pumps();
    pumps.remembersLater = true;
    Model model = pumps.build();
    assertInstanceOf(TickJudge.No.class, TickJudge.reachable(model, model.claim("H-1"), 20_000));
    assertInstanceOf(TickJudge.Yes.class, TickJudge.reachable(model, model.claim("H-2"), 20_000));
    assertNull(over(pumps));
  }

  @Test
  void whateverElseMovesItIsSeen() {
    var pumps = new Pumps();
    pumps.movedByAnother = true;
    assertNull(over(pumps));
  }

  @Test
  void anotherTimeIsAnotherQuestion() {
    var pumps = new Pumps();
    pumps.longer = 5;
    assertNull(over(pumps));
  }
}
