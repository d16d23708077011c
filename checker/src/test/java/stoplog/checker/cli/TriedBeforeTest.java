package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import stoplog.checker.certificate.Seal;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/** A claim left undecided is tried again where its question is another or the budget larger, else not. */
final class TriedBeforeTest {
  private static final Verdict.Effort EFFORT = new Verdict.Effort(7, 9, 1, 1);
  private static final String STATES = "the budget of 1000 states is used up";
  private static final String TIME = "the time budget of 10 s is used up";
  private static final String BUDGET = "states=1000,memory=1GB,time=10s";

  @TempDir Path directory;
  private String plant = "";
  private String ledger = "";

  @BeforeEach
  void writePlant() throws IOException {
    plant = SmallPlant.in(directory);
    ledger = directory.resolve("small.ledger").toString();
  }

  /** Leaves every claim undecided, and counts how often it was asked. */
  private static final class Hesitant implements Engine {
    private final List<String> asked = new ArrayList<>();
    private String reason = STATES;
    private @Nullable String question = "0a";
    private Runnable meanwhile = () -> {};

    @Override
    public Verdict decide(Claim claim, boolean whole, Budget budget, Progress progress) {
      asked.add(claim.id());
      meanwhile.run();
      return new Verdict.Undecided(reason, 4, List.of("P-1", "mode"), EFFORT);
    }

    @Override
    public @Nullable String question(Claim claim) {
      return question;
    }
  }

  private final Hesitant engine = new Hesitant();

  private Ran check(String budget, String... more) {
    var arguments =
        new ArrayList<>(
            List.of("check", "--ledger", ledger, "--budget", budget, "--claim", "H-2", plant));
    arguments.addAll(List.of(more));
    return Ran.with(_ -> engine, new Interruption(), arguments.toArray(String[]::new));
  }

  private boolean isTried(String budget, String... more) {
    int before = engine.asked.size();
    Ran ran = check(budget, more);
    assertEquals(3, ran.status(), ran.out());
    boolean tried = engine.asked.size() > before;
    assertEquals(!tried, ran.out().contains("not tried again"), ran.out());
    return tried;
  }

  @Test
  void itIsToldWithWhatWasCoveredThenAndThatItWasNotTried() {
    Ran first = check(BUDGET);
    Ran second = check(BUDGET);
    assertEquals(List.of("H-2"), engine.asked);
    assertEquals(3, second.status());
    String words = second.out().replaceAll("\\s+", " ");
    assertTrue(words.contains("H-2 undecided both pumps run 7 states, not tried again"), words);
    assertTrue(
        words.contains(
            STATES + "; no run with fewer than 4 events gets there not tried again: this is what an"
                + " earlier run came to with 1,000 states, 1,024 MB and 10 s"),
        words);
    assertTrue(words.contains("Not tried again: 1 claim, undecided in an earlier run"), words);
    assertFalse(first.out().contains("again"), first.out());
    String json = check(BUDGET, "--json").out().replaceAll("\\s+", "");
    assertTrue(
        json.contains(
            "\"covered\":4,\"asBefore\":true,\"triedWith\":{\"states\":1000,\"memoryBytes\":1073741824,"
                + "\"seconds\":10},\"kept\":[\"P-1\",\"mode\"]"),
        json);
  }

  @Test
  void moreInAnyRespectHasItTriedAgain() {
    for (String more :
        List.of(
            "states=1001,memory=1GB,time=10s", "states=1000,memory=1.01GB,time=10s",
            "states=1000,memory=1GB,time=11s")) {
      ledger = directory.resolve(more).toString();
      assertTrue(isTried(BUDGET));
      assertTrue(isTried(more), more);
      assertFalse(isTried(more), more);
      assertFalse(isTried(BUDGET), "less than the last time");
    }
    assertFalse(isTried("states=999,memory=1MB,time=1s"));
  }

  @Test
  void anotherQuestionIsTried() {
    assertTrue(isTried(BUDGET));
    engine.question = "0b";
    assertTrue(isTried(BUDGET));
    assertFalse(isTried(BUDGET));
    engine.question = null;
    assertTrue(isTried(BUDGET), "of which nothing can be told");
    assertTrue(isTried(BUDGET));
  }

  @Test
  void threadsMatterWhereTimeRanOut() {
    assertTrue(isTried(BUDGET, "--threads", "1"));
    assertFalse(isTried(BUDGET, "--threads", "3"));
    engine.reason = TIME;
    ledger = directory.resolve("time.ledger").toString();
    assertTrue(isTried(BUDGET, "--threads", "2"));
    assertFalse(isTried(BUDGET, "--threads", "1"));
    assertTrue(isTried(BUDGET, "--threads", "3"));
    assertFalse(isTried(BUDGET, "--threads", "3"));
  }

  @Test
  void whoWantsItAfreshGetsItAfresh() {
    assertTrue(isTried(BUDGET));
    assertTrue(isTried(BUDGET, "--verify-proofs"));
    assertTrue(isTried(BUDGET, "--whole"));
    ledger = directory.resolve("new.ledger").toString();
    assertTrue(isTried(BUDGET, "--verify-proofs"), "and leaves nothing");
    assertTrue(isTried(BUDGET, "--whole"), "and leaves nothing");
    assertTrue(isTried(BUDGET));
    assertFalse(isTried(BUDGET));
  }

  /** Whoever is interrupted has not tried to the end, whatever his search says of why it stopped. */
  @Test
  void whatWasCutShortIsNotRemembered() throws IOException {
    var interruption = new Interruption();
    engine.meanwhile = interruption::ask;
    Ran.with(
        _ -> engine, interruption, "check", "--ledger", ledger, "--budget", BUDGET, "--claim", "H-2",
        plant);
    engine.meanwhile = () -> {};
    assertTrue(isTried(BUDGET), "interrupted");
    Files.delete(Path.of(ledger));
    engine.meanwhile = TriedBeforeTest::aWhile;
    check(BUDGET + ",total=50ms");
    engine.meanwhile = () -> {};
    assertTrue(isTried(BUDGET), "the time for all claims was over");
    Files.delete(Path.of(ledger));
    check(BUDGET + ",total=9s");
    assertTrue(isTried(BUDGET), "it had less time than for each claim");
    Files.delete(Path.of(ledger));
    engine.reason = "memory ran out";
    assertTrue(isTried(BUDGET));
    assertTrue(isTried(BUDGET), "there was not as much memory as the budget says");
    engine.meanwhile =
        () -> {
          throw new OutOfMemoryError("heap");
        };
    assertTrue(isTried(BUDGET));
    assertTrue(isTried(BUDGET), "nor here");
    engine.meanwhile =
        () -> {
          throw new IllegalStateException("a fault of ours");
        };
    assertTrue(isTried(BUDGET));
    assertTrue(isTried(BUDGET), "a fault says nothing");
  }

  private static void aWhile() {
    try {
      Thread.sleep(80);
    } catch (InterruptedException e) {
      throw new IllegalStateException(e);
    }
  }

  /** A share of the memory is not all of it: the last attempt is, and that is what is remembered. */
  @Test
  void whatRanOutOfItsShareOfTheMemoryIsRememberedWithAllOfIt() {
    engine.reason = "the memory budget of 1024 MiB is used up";
    String[] all = {"check", "--ledger", ledger, "--budget", BUDGET, "--threads", "3", plant};
    Ran.with(_ -> engine, new Interruption(), all);
    assertEquals(8, engine.asked.size(), "four claims, each once more with all of it");
    Ran second = Ran.with(_ -> engine, new Interruption(), all);
    assertEquals(8, engine.asked.size(), second.out());
    all[6] = "1";
    assertEquals(second, Ran.with(_ -> engine, new Interruption(), all));
  }

  @Test
  void whatIsDecidedLaterIsNoLongerUndecided() throws IOException {
    String hasty = "memory=1kB";
    Ran first = shipped(hasty);
    assertEquals(3, first.status(), first.out());
    assertTrue(first.out().matches("(?s).*H-1  undecided .*H-2  undecided .*"), first.out());
    Ran second = shipped(hasty);
    assertEquals(3, second.status());
    assertTrue(
        second.out().matches("(?s).*H-1  undecided [^\n]*not tried again\n.*H-2  undecided [^\n]*not tried.*"),
        second.out());
    assertFalse(second.out().matches("(?s).*R-1  [^\n]*not tried.*"), second.out());
    Ran decided = shipped("memory=1GB");
    assertEquals(1, decided.status(), decided.out());
    assertFalse(decided.out().contains("not tried"), decided.out());
    assertFalse(Files.readString(Path.of(ledger)).contains("undecided"));
    Ran third = shipped(hasty);
    assertEquals(1, third.status());
    assertTrue(third.out().matches("(?s).*H-2  proved [^\n]*as before\n.*"), third.out());
  }

  /** Of the plant itself: what bears on the claim is edited, or something else. */
  @Test
  void editHasItTriedAgainWhereItBearsOnTheClaim() throws IOException {
    String hasty = "memory=1kB";
    String text = SmallPlant.TEXT.replace("clean\n}", "clean\n  key spare\n}");
    SmallPlant.in(directory, "small.plant", text);
    shipped(hasty);
    String elsewhere = text.replace("key spare", "key spare, other").replace("both pumps", "both");
    SmallPlant.in(directory, "small.plant", elsewhere);
    String out = shipped(hasty).out();
    assertTrue(out.matches("(?s).*H-2  undecided [^\n]*not tried again\n.*"), out);
    // Some of it was no part of what was searched when the memory was used up.
    for (String edited :
        List.of(
            text.replace("\"cleaning pump\"", "\"cleaning pump\" { coast 1..2 s }"),
            text.replace("run P-1 when mode is water", "run P-1 when mode is not off"),
            text.replace("200 ms", "300 ms"))) {
      assertFalse(edited.equals(text));
      SmallPlant.in(directory, "small.plant", text);
      shipped(hasty);
      SmallPlant.in(directory, "small.plant", edited);
      out = shipped(hasty).out();
      assertTrue(out.matches("(?s).*H-2  undecided .*"), out);
      assertFalse(out.contains("not tried"), out);
    }
  }

  @Test
  void outputIsTheSameForAnyNumberOfThreads() throws IOException {
    var outputs = new ArrayList<String>();
    for (String threads : List.of("1", "3")) {
      Files.deleteIfExists(Path.of(ledger));
      for (String then : List.of(threads, "1", "2")) {
        Ran ran = shipped("states=1,memory=1MB", "--threads", then);
        outputs.add(ran.out());
      }
    }
    assertTrue(outputs.get(1).contains("not tried again"), outputs.get(1));
    assertEquals(outputs.get(0), outputs.get(3));
    for (int i : new int[] {2, 4, 5}) {
      assertEquals(outputs.get(1), outputs.get(i), "run " + i);
    }
  }

  private Ran shipped(String budget, String... more) {
    var arguments = new ArrayList<>(List.of("check", "--ledger", ledger, "--budget", budget, plant));
    arguments.addAll(List.of(more));
    return Ran.stoplog(arguments.toArray(String[]::new));
  }

  /** A ledger has one text; whatever else is sealed is none, and no reason to fail. */
  @Test
  void attemptWrittenInAnyOtherWayIsIgnored() throws IOException {
    check(BUDGET);
    String text = Files.readString(Path.of(ledger));
    String body = text.substring(0, text.lastIndexOf("seal "));
    Function<Model, Engine> engines = _ -> engine;
    for (String[] change :
        List.of(
            new String[] {"given states 1000", "given states +1000"},
            new String[] {"given states 1000", "given states many"},
            new String[] {"threads 0", "threads"},
            new String[] {"covered 4", "covered 4 5"},
            new String[] {"  keeps P-1\tmode\n", ""},
            new String[] {"  " + STATES + "\n", ""})) {
      assertTrue(body.contains(change[0]), change[0]);
      Files.writeString(Path.of(ledger), Seal.on(body.replace(change[0], change[1])));
      Ran ran =
          Ran.with(
              engines, new Interruption(), "check", "--ledger", ledger, "--budget", BUDGET, "--claim",
              "H-2", plant);
      assertEquals(
          "stoplog: note: " + ledger + " is not used: it was changed after it was made\n", ran.err());
      assertFalse(ran.out().contains("not tried"), ran.out());
    }
  }
}
