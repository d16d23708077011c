package stoplog.checker.analyse;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import java.util.function.UnaryOperator;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Precedent;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Progress;
import stoplog.dsl.PlantReader;
import stoplog.model.Bound;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.source.SourceFile;

final class HealthTest {
  private static final String SOUND =
      """
      plant "small"
      controller reacts within 1 s
      valve FV-1 { travel 1..2 s; proves open ZSO-1 }
      condition wind comes and goes
      switch FS-1 follows wind within 1..2 s
      panel { hold-button a, b }
      logic {
        open FV-1 when a {
          permissive "calm" : not FS-1
          trip "b for a while" : b for 3 s reset by a
        }
      }
      hazard H-1 : FV-1 is opening and FV-1 is closed
      """;

  private static Model model(String text) {
    Model model = PlantReader.read(new SourceFile("test.plant", text)).model();
    assertNotNull(model, text);
    return model;
  }

  private static List<String> findings(Model model) {
    return findings(model, Remembered.NOTHING);
  }

  private static List<String> findings(Model model, Remembered remembered) {
    return Health.of(
            new Reads(model), model.claims(), Duration.ofMinutes(5), remembered, Progress.NONE)
        .stream()
        .map(f -> f.kind() + " " + f.text())
        .toList();
  }

  private static List<String> findings(String text) {
    return findings(model(text));
  }

  @Test
  void nothingIsSaidOfASoundPlant() {
    assertEquals(List.of(), findings(SOUND));
  }

  @Test
  void partOfAHazardThatNeverHoldsIsNamed() {
    String text = SOUND.replace("FV-1 is opening and", "FV-1 is open and not ZSO-1 and");
    assertEquals(List.of(), findings(text), "each part by itself can be");
    String never =
        SOUND.replace("hazard H-1", "condition absurd holds when FV-1 is open and FV-1 is closed\nhazard H-1")
            .replace("FV-1 is opening and", "absurd and");
    assertEquals(
        List.of("NEVER_HAPPENS H-1 is proved, but a part of it never holds at all: what it says of FV-1"),
        findings(never));
  }

  @Test
  void whatAnInterruptionLeftOutIsToldOnceAndVoidsProofs() {
    var stopped =
        new Progress() {
          @Override
          public void at(String claim, int level, long states, int kept) {}

          @Override
          public boolean stopped() {
            return true;
          }
        };
    List<Health.Finding> found = Health.voiding(new Reads(model(SOUND)), Remembered.NOTHING, stopped);
    assertEquals(
        List.of("interrupted before all deadlines were looked at"),
        found.stream().map(Health.Finding::text).toList());
    assertTrue(found.getFirst().kind().voidsProofs());
  }

  @Test
  void faultThatTheClaimToleratesHappens() {
    String text =
        SOUND.replace(
            "FV-1 is opening and FV-1 is closed",
            "FV-1 is opening and FV-1 is closed and ZSO-1 is stuck_on tolerates 1 fault of ZSO-1");
    assertEquals(List.of(), findings(text));
  }

  @Test
  void onePartThatNeverHoldsIsNamedOnlyWhereTheProofDoesNotSaySo() {
    String one =
        SOUND.replace("hazard H-1", "condition absurd holds when FV-1 is open and FV-1 is closed\nhazard H-1")
            .replace("FV-1 is opening and FV-1 is closed", "absurd");
    assertEquals(List.of(), findings(one));
    assertEquals(
        List.of(
            "NEVER_HAPPENS H-1 is proved, but its one part never holds at all: what it says of FV-1"),
        findings(one.strip() + " for 3 s\n"));
  }

  /** What the reading may do next depends on each of the ten limits it passes. */
  @Test
  void nothingIsAmissWithATransmitterThatIsComparedWithTenLimits() {
    var text =
        new StringBuilder(
            """
            plant "marks"
            controller reacts within 1 s
            pump P-1
            condition drawing comes and goes
            level T-1 in % { 0 to 100 in 10..30 min while P-1 is turning; 100 to 0 in 8..20 min while drawing }
            transmitter LT-1 in % from 0 to 100 follows T-1 within 0.5..2 s dead band 0.5 %
            panel { hold-button go }
            logic {
              run P-1 when go and LT-1 < 95 %
            """);
    for (int mark = 5; mark < 95; mark += 10) {
      text.append("  signal above_%d = LT-1 > %d %%\n".formatted(mark, mark));
    }
    text.append("}\nhazard H-1 : P-1 is turning and P-1 is at rest\n");
    assertEquals(List.of(), findings(text.toString()));
  }

  /** 24 memories that depend on each other in a ring: too many to try, and no flicker seen. */
  @Test
  void memoriesTooManyToTryAreNotSaidToFlicker() {
    var text = new StringBuilder(SOUND.replace("hold-button a, b", "hold-button a, b; key k"));
    var latches = new StringBuilder();
    for (int i = 1; i <= 24; i++) {
      latches.append("  latch m%d: set by k and not m%d; cleared by a\n".formatted(i, i % 24 + 1));
    }
    int at = text.indexOf("logic {") + "logic {\n".length();
    text.insert(at, latches);
    assertTrue(findings(text.toString()).stream().noneMatch(f -> f.startsWith("FLICKERS")));
  }

  /** The horn depends on its command only, however much that depends on. */
  @Test
  void hornBehindManyAlarmsComesToRest() {
    var text = new StringBuilder(SOUND.replace("within 1 s\nvalve", "within 0 s\nvalve"));
    var keys = new StringBuilder("key ");
    var latches = new StringBuilder();
    var all = new StringBuilder();
    for (int i = 1; i <= 24; i++) {
      keys.append("%sk%d, r%d".formatted(i == 1 ? "" : ", ", i, i));
      latches.append("  latch m%d: set by k%d and FS-1; cleared by a and r%d\n".formatted(i, i, i));
      all.append(i == 1 ? "" : ", ").append("m").append(i);
    }
    String horn = "  open FV-2 when FV-2 is commanded open and ZSO-1 or any of (" + all + ")\n";
    text.insert(text.indexOf("hold-button"), keys + "; ");
    text.insert(text.indexOf("logic {") + "logic {\n".length(), latches + horn);
    text.insert(text.indexOf("condition"), "valve FV-2 { travel 1..2 s }\n");
    assertTrue(findings(text.toString()).stream().noneMatch(f -> f.startsWith("CHATTERS")));
  }

  @Test
  void claimWhoseAssumptionNoRunKeepsToIsNamed() {
    String text = SOUND.replace("FV-1 is opening and FV-1 is closed", "FV-1 is opening");
    String hazard = "FV-1 is opening";
    assertEquals(List.of(), findings(text.replace(hazard, hazard + " for 5 s assuming not b")));
    assertEquals(
        List.of("NEVER_HAPPENS H-1 is proved, but no run keeps to what it assumes for as long as it asks about"),
        findings(text.replace(hazard, hazard + " for 1 s assuming b and not b")));
  }

  @Test
  void requirementThatNothingBeginsIsNamed() {
    String text = SOUND.strip() + "\nrequire R-1 : after FV-1 is open %s, ZSO-1 within 1 min\n";
    assertEquals(List.of(), findings(text.formatted("and b")));
    assertEquals(
        List.of("NEVER_HAPPENS R-1 holds, but what begins it never happens"),
        findings(text.formatted("and FV-1 is closed")));
  }

  @Test
  void inhibitThatNeverStopsAnythingIsNamed() {
    assertEquals(
        List.of("NEVER_BLOCKS the permissive \"calm\" of FV-1 never stops it",
            "NEVER_READ FS-1 is never read by the logic"),
        findings(SOUND.replace("not FS-1", "a or not a")));
    assertEquals(
        List.of("NEVER_BLOCKS the trip \"b for a while\" of FV-1 never stops it",
            "NEVER_RUNS FV-1.timer1 never begins to run"),
        findings(SOUND.replace("b for 3 s", "(b and not b) for 3 s")));
  }

  @Test
  void logicThatMayNotSettleIsNamedWhereTimeStandsStillForIt() {
    String text =
        SOUND.replace("within 1 s\nvalve", "within 0 s\nvalve")
            .replace("logic {", "logic {\n  signal flicker = not flicker and a");
    assertEquals(
        List.of("CHATTERS the logic may never come to rest: flicker"), findings(text));
  }

  @Test
  void logicThatMayNotSettleWhileTimeGoesOnIsNamedAndVoidsNothing() {
    String text = SOUND.replace("logic {", "logic {\n  signal flicker = not flicker and a");
    assertEquals(
        List.of(
            "FLICKERS scan after scan may change flicker though nothing in the field moves; proofs"
                + " stand, for time goes on"),
        findings(text));
    assertFalse(Health.Kind.FLICKERS.voidsProofs());
  }

  @Test
  void whatThereIsNoTimeForIsSaid() {
    Model model = model(SOUND);
    assertEquals(
        List.of(
            "not looked at, for want of time: what proved claims take for granted; the parts of proved hazards; permissives, interlocks"
                + " and trips; timers"),
        Health.of(
            new Reads(model), model.claims(), Duration.ofNanos(-1), Remembered.NOTHING,
            Progress.NONE).stream()
            .map(Health.Finding::text)
            .toList());
  }

  /** The language has no such plants; a model made by hand shows that it would be seen. */
  @Test
  void deadlineThatNothingMeetsIsNamed() {
    List<String> blocked =
        List.of(
            "BLOCKED when FV-1 opening is due, perhaps nothing can end it",
            "BLOCKED when FV-1 opening again is due, perhaps nothing can end it");
    assertEquals(blocked, blocked(c -> opens(Expr.FALSE, c.cause(), c.timing(), c)));
    assertEquals(blocked, blocked(c -> opens(c.guard(), Cause.FAULT, c.timing(), c)));
    assertEquals(blocked, blocked(c -> opens(c.guard(), Cause.OPERATOR, c.timing(), c)));
    assertEquals(blocked, blocked(c -> opens(c.guard(), Cause.POWER, c.timing(), c)));
    assertEquals(blocked, blocked(c -> opens(c.guard(), Cause.PROCESS, null, c)));
    assertEquals(List.of(), blocked(c -> c));
  }

  /** A window has to be open at the deadline, which at a tie hangs on whether it holds its ends. */
  @Test
  void deadlineIsMetOnlyByAWindowThatIsOpenThere() {
    assertEquals(List.of(), blocked(c -> opens(Bound.at(LIMIT), null, c)));
    assertEquals(2, blocked(c -> opens(Bound.open(LIMIT), null, c)).size());
    assertEquals(2, blocked(c -> opens(Bound.at(LIMIT + 1), null, c)).size());
    assertEquals(List.of(), blocked(c -> opens(Bound.at(0), Bound.at(LIMIT), c)));
    assertEquals(2, blocked(c -> opens(Bound.at(0), Bound.open(LIMIT), c)).size());
    assertEquals(2, blocked(c -> opens(Bound.at(0), Bound.at(LIMIT - 1), c)).size());
  }

  /** What an earlier run has proved of a deadline stands where all that bears on it is the same. */
  @Test
  void deadlineThatWasMetIsLookedAtAgainWhereItIsAnother() {
    var notes = new Notes();
    assertEquals(List.of(), late(c -> c, notes));
    int proofs = notes.proofs.size();
    assertTrue(proofs > 1, notes.proofs.keySet().toString());
    assertEquals(proofs, notes.put);
    assertEquals(List.of(), late(c -> c, notes));
    assertEquals(2 * proofs, notes.put, "known again, and still so");
    var before = Map.copyOf(notes.proofs);
    List<String> never = late(c -> opens(Expr.FALSE, c.cause(), c.timing(), c), Remembered.NOTHING);
    assertTrue(never.size() > 1);
    assertEquals(never, late(c -> opens(Expr.FALSE, c.cause(), c.timing(), c), notes));
    assertEquals(never, late(c -> opens(c.guard(), Cause.FAULT, c.timing(), c), notes));
    assertEquals(before, notes.proofs);
    assertEquals(List.of(), late(c -> c, notes));
  }

  /** A proof that stands under another's name proves nothing of it. */
  @Test
  void whatIsNotedOfOtherDeadlinesProvesNothing() {
    var notes = new Notes();
    late(c -> c, notes);
    var mixed = new Notes();
    List<String> names = List.copyOf(notes.proofs.keySet());
    for (int i = 0; i < names.size(); i++) {
      String other = names.get((i + 1) % names.size());
      mixed.proofs.put(names.get(i), Objects.requireNonNull(notes.proofs.get(other)));
    }
    assertTrue(late(c -> opens(Expr.FALSE, c.cause(), c.timing(), c), mixed).size() > 1);
  }

  /** Deadlines of a transmitter that nothing meets, where its readings change in this other way. */
  private static List<String> late(UnaryOperator<FieldChange> reading, Remembered remembered) {
    Model m =
        model(
            SOUND
                .replace(
                    "panel {",
                    """
                    analog heat in degC from 0 to 100 { moves gradually; starts at 20 degC }
                    transmitter TT-1 in degC from 0 to 100 follows heat within 1..2 s
                    panel {""")
                .replace("logic {", "logic {\n  signal hot = TT-1 > 50 degC\n  signal warm = TT-1 > 30 degC"));
    List<FieldChange> changes =
        m.changes().stream()
            .map(
                c ->
                    c.timing() != null && m.clocks().get(c.timing().clock()).name().startsWith("TT-1")
                        ? reading.apply(c)
                        : c)
            .toList();
    Model other =
        new Model(
            m.name(), m.quantumMicros(), m.variables(), m.definitions(), m.clocks(), changes,
            m.controller(), m.start(), m.reactions(), m.claims(), m.inhibits(), m.indications());
    return findings(other, remembered).stream().filter(f -> f.startsWith("BLOCKED")).toList();
  }

  private static final class Notes implements Remembered {
    private final Map<String, Precedent.Proof> proofs = new TreeMap<>();
    private int put;

    @Override
    public Precedent.@Nullable Proof proofOf(String what) {
      return proofs.get(what);
    }

    @Override
    public void put(String what, Precedent.Proof proof) {
      put++;
      proofs.put(what, proof);
    }

    @Override
    public boolean isKept() {
      return true;
    }
  }

  private static final long LIMIT = 50;

  private static FieldChange opens(Bound earliest, @Nullable Bound latest, FieldChange c) {
    var window = new FieldChange.Timing(Objects.requireNonNull(c.timing()).clock(), earliest, latest);
    return opens(c.guard(), c.cause(), window, c);
  }

  private static FieldChange opens(
      Expr guard, Cause cause, FieldChange.@Nullable Timing timing, FieldChange c) {
    return new FieldChange(c.id(), c.text(), cause, guard, timing, c.effects(), c.origin());
  }

  /** What is said of deadlines, all of them at one limit, where the valve opens in this other way. */
  private static List<String> blocked(UnaryOperator<FieldChange> opening) {
    Model m = model(SOUND);
    List<Clock> clocks =
        m.clocks().stream()
            .map(
                c ->
                    c.limit() == null
                        ? c
                        : new Clock(c.id(), c.name(), c.running(), Bound.at(LIMIT), c.origin()))
            .toList();
    List<FieldChange> changes =
        m.changes().stream()
            .map(c -> c.timing() == null ? c : opens(Bound.at(0), Bound.at(LIMIT), c))
            .map(c -> c.text().equals("FV-1 open") ? opening.apply(c) : c)
            .toList();
    Model other =
        new Model(
            m.name(), m.quantumMicros(), m.variables(), m.definitions(), clocks, changes,
            m.controller(), m.start(), m.reactions(), m.claims(), m.inhibits(), m.indications());
    return findings(other).stream().filter(f -> f.startsWith("BLOCKED")).toList();
  }
}
