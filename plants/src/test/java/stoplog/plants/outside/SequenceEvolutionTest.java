package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Settling;
import stoplog.dsl.PlantReader;
import stoplog.model.Model;
import stoplog.source.SourceFile;

/**
 * Small sequences against the situations that the five evolution rules of IEC 60848 give. Every set of
 * steps is asked whether time can pass while just these are active: with a reaction time of 0 that
 * leaves the stable situations, with 1 s also those that the next scan leaves.
 */
class SequenceEvolutionTest {
  private static final String PLANT =
      """
      plant "Sequence"
      controller reacts within %d s
      condition power_on comes and goes
      switch XS-1 "a" follows power_on
      logic {
        signal a = XS-1 or not XS-1
        signal b = XS-1 or not XS-1
        sequence s {
      %s
        }
      }
      """;

  /** Who judged the situations asked for last. */
  private static final Set<String> JUDGES = new TreeSet<>();

  /** What was published, and is so: the asserts before it are our value. */
  private static void row(String letter, String what, String published) {
    Results.value(
        SequenceEvolutionTest.class,
        "G2 sequence " + letter,
        "sequence (" + letter + "), " + what,
        "IEC 60848, evolution rules",
        published,
        published,
        JUDGES.isEmpty() ? "search" : String.join(", ", JUDGES));
    JUDGES.clear();
  }

  private static String text(int reactionSeconds, String items) {
    return PLANT.formatted(reactionSeconds, items.indent(4).stripTrailing());
  }

  /** The sets of steps that can be active while time passes, each in the order of their names. */
  private static List<String> situations(int reactionSeconds, String items, String... steps) {
    var found = new ArrayList<String>();
    var plant = new StringBuilder(text(reactionSeconds, items));
    int sets = 1 << steps.length;
    for (int set = 0; set < sets; set++) {
      var all = new ArrayList<String>();
      for (int i = 0; i < steps.length; i++) {
        all.add("s is " + ((set >>> i & 1) == 1 ? "" : "not ") + steps[i]);
      }
      plant.append("require R-%d : can %s%n".formatted(set, String.join(" and ", all)));
    }
    Model model = Texts.model(plant.toString());
    for (int set = 0; set < sets; set++) {
      if (Texts.reaches(model, "R-" + set, JUDGES)) {
        var active = new TreeSet<String>();
        for (int i = 0; i < steps.length; i++) {
          if ((set >>> i & 1) == 1) {
            active.add(steps[i]);
          }
        }
        found.add(String.join("+", active));
      }
    }
    return found;
  }

  /** Rules 2 and 3: a step whose next transition holds already is active for one evolution. */
  @Test
  void stepWhoseTransitionHoldsAlreadyIsTransient() {
    String items =
        """
        initial step s1; step s2; step s3
        from s1 to s2 when a
        from s2 to s3 when a
        """;
    assertEquals(List.of("s3"), situations(0, items, "s1", "s2", "s3"));
    assertEquals(List.of("s1", "s2", "s3"), situations(1, items, "s1", "s2", "s3"));
    row("a", "1-a-2-a-3 from {1}", "{1} {2} {3}, step 2 transient");
  }

  /** Rule 4: transitions that can be cleared together are cleared together. */
  @Test
  void transitionsEnabledTogetherAreClearedTogether() {
    String items =
        """
        initial step s10; initial step s20; step s11; step s21
        from s10 to s11 when a
        from s20 to s21 when a
        """;
    assertEquals(List.of("s11+s21"), situations(0, items, "s10", "s20", "s11", "s21"));
    assertEquals(List.of("s10+s20", "s11+s21"), situations(1, items, "s10", "s20", "s11", "s21"));
    row("b", "10-a-11 and 20-a-21 from {10,20}", "one evolution to {11,21}");
  }

  /** Rule 5: a step that is left and entered in one evolution stays active. */
  @Test
  void stepLeftAndEnteredAtOnceStaysActive() {
    String items =
        """
        initial step s1; initial step s2; step s3
        from s1 to s2 when a
        from s2 to s3 when a
        """;
    // From {1,2} comes {2,3}, and as the condition goes on holding, {3} after that.
    assertEquals(List.of("s3"), situations(0, items, "s1", "s2", "s3"));
    assertEquals(
        List.of("s1+s2", "s3", "s2+s3"), situations(1, items, "s1", "s2", "s3"));
    row("c", "1-a-2 and 2-a-3 from {1,2}", "{2,3}");
  }

  /** Rule 5: what stays active is not activated, so its action on entry is not done again. */
  @Test
  void stepThatStaysActiveIsNotEnteredAgain() {
    String plant =
        """
        plant "Entered"
        panel { button go }
        logic {
          memory entries: 0..3
          sequence s {
            initial step s1; step s2 { on entry entries := entries + 1 }; step s3
            from s1 to s1, s2 when go
            from s2 to s3 when go
            from s3 to s3 when entries >= 3 and entries < 3
          }
        }
        require R-1 : can s is s3 and s is s2
        require R-2 : can entries >= 2
        """;
    // The first press enters s2; the second leaves it and enters it: it stays, one entry in all.
    Model model = Texts.model(plant);
    assertTrue(Texts.reaches(model, "R-1"));
    assertFalse(Texts.reaches(model, "R-2"));
  }

  /** Rule 2: a transition is enabled only when all steps before it are active. */
  @Test
  void joinWaitsForAllOfItsSteps() {
    String join = "from s1, s2 to s3 when a\n";
    assertEquals(
        List.of("s1"),
        situations(
            0,
            "initial step s1; step s2; step s3\nfrom s3 to s2 when not a\n" + join,
            "s1",
            "s2",
            "s3"));
    String both = "initial step s1; initial step s2; step s3\n" + join;
    assertEquals(List.of("s3"), situations(0, both, "s1", "s2", "s3"));
    assertEquals(List.of("s1+s2", "s3"), situations(1, both, "s1", "s2", "s3"));
    row("d", "join 1,2-a-3", "nothing from {1}; {3} from {1,2}");
  }

  /** A loop whose conditions all hold has no stable situation. */
  @Test
  void loopThatNeverSettlesIsReported() {
    String items =
        """
        initial step s1; step s2
        from s1 to s2 when a
        from s2 to s1 when a
        """;
    Model model = Texts.model(text(0, items) + "require R-1 : can s is s1\n");
    assertEquals(List.of("s"), Settling.restless(model));
    row("e", "loop 1-a-2-a-1", "never stable, reported");
  }

  /** Rule 4 again: of two ways out of one step whose conditions both hold, both are taken. */
  @Test
  void alternativesThatBothHoldAreBothTaken() {
    String items =
        """
        initial step s1; step s2; step s3
        from s1 to s2 when a
        from s1 to s3 when b
        """;
    assertEquals(List.of("s2+s3"), situations(0, items, "s1", "s2", "s3"));
    assertEquals(List.of("s1", "s2+s3"), situations(1, items, "s1", "s2", "s3"));
    var codes = new TreeSet<String>();
    PlantReader.read(new SourceFile("test.plant", text(0, items)))
        .diagnostics()
        .forEach(d -> codes.add(d.code()));
    assertTrue(codes.contains("W0637"), codes.toString());
    row("f", "1-a-2 and 1-b-3, both true", "{2,3}, warned");
  }

  /** Rule 3 and 4: conditions on steps are judged by the situation before the evolution. */
  @Test
  void conditionsOnStepsSeeTheSituationBefore() {
    String items =
        """
        initial step s1; initial step s20; step s2; step s21
        from s1 to s2 when s is s20
        from s20 to s21 when s is s1
        """;
    assertEquals(List.of("s2+s21"), situations(0, items, "s1", "s20", "s2", "s21"));
    assertEquals(List.of("s1+s20", "s2+s21"), situations(1, items, "s1", "s20", "s2", "s21"));
    row("g", "1-(X20)-2 and 20-(X1)-21 from {1,20}", "{2,21}");
  }

  /** Rule 1: the initial situation holds until a transition is cleared, and after power returns. */
  @Test
  void initialSituationComesBackWithPower() {
    String plant =
        """
        plant "Initial"
        power may fail
        panel { button go }
        logic {
          sequence s {
            initial step s1; step s2; step s3
            from s1 to s2 when go
            from s2 to s3 when go
            from s3 to s2 when go
          }
        }
        require R-1 : never together s is s1, s is s2, s is s3
        require R-2 : once s is s2, s is not s1 stays until s is s3 without power failure
        require R-3 : once s is s2, s is not s1 stays until s is s3
        """;
    Model model = Texts.model(plant);
    assertFalse(Texts.reaches(model, "R-1"));
    assertFalse(Texts.reaches(model, "R-2"));
    assertTrue(Texts.reaches(model, "R-3"));
  }
}
