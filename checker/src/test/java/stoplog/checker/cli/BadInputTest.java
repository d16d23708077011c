package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import tools.jackson.jr.ob.JSON;

/** Whatever is wrong with what the user gives: one line, and status 2. */
final class BadInputTest {
  @TempDir Path directory;

  private static void refused(String why, String... args) {
    Ran ran = Ran.stoplog(args);
    assertEquals(2, ran.status(), ran.out() + ran.err());
    assertEquals("", ran.out());
    assertEquals(1, ran.errLines(), ran.err());
    assertTrue(ran.err().startsWith("stoplog: "), ran.err());
    assertTrue(ran.err().contains(why), ran.err());
  }

  @Test
  void missingFile() {
    refused("there is no such file", "check", directory.resolve("none.plant").toString());
  }

  @Test
  void directoryWithoutAPlant() {
    refused("holds no .plant file", "check", directory.toString());
  }

  @Test
  void directoryWithTwoPlants() throws IOException {
    SmallPlant.in(directory, "a.plant", SmallPlant.TEXT);
    SmallPlant.in(directory, "b.plant", SmallPlant.TEXT);
    refused("holds 2 .plant files", "check", directory.toString());
  }

  @Test
  void emptyFile() throws IOException {
    refused("empty", "check", SmallPlant.in(directory, "empty.plant", ""));
  }

  @Test
  void binaryFile() throws IOException {
    Path file = directory.resolve("binary.plant");
    Files.write(file, new byte[] {(byte) 0xca, (byte) 0xfe, (byte) 0xba, (byte) 0xbe, 0, 0});
    refused("not UTF-8 text", "check", file.toString());
    refused("not text", "check", SmallPlant.in(directory, "nul.plant", "plant \"\0\"\n"));
  }

  @Test
  void unreadableFile() throws IOException {
    String file = SmallPlant.in(directory);
    assertTrue(Path.of(file).toFile().setReadable(false));
    Assumptions.assumeFalse(Files.isReadable(Path.of(file)), "root reads everything");
    refused("cannot be read", "check", file);
  }

  @Test
  void fileNameThatBeginsWithAnAtSign() {
    refused("@small.plant: there is no such file", "check", "@small.plant");
  }

  @Test
  void unknownOption() throws IOException {
    refused("unknown option --all", "check", "--all", SmallPlant.in(directory));
  }

  @Test
  void unknownCommand() {
    refused("nothing can be done with prove", "prove");
  }

  @Test
  void nothingToCheck() {
    refused("PLANT is missing", "check");
    refused("say what to do");
  }

  @Test
  void twoPlants() throws IOException {
    refused("nothing can be done with other", "check", SmallPlant.in(directory), "other");
  }

  @Test
  void claimThatDoesNotExist() throws IOException {
    refused("no claim H-9; it has H-1, H-2, R-1, R-2", "check", "--claim", "H-9",
        SmallPlant.in(directory));
  }

  @Test
  void budgetThatMakesNoSense() throws IOException {
    String plant = SmallPlant.in(directory);
    refused("time needs a number with h, min, ms, s", "check", "--budget", "time=10", plant);
    refused("is none of states=NUMBER", "check", "--budget", "patience=10", plant);
    refused("time=1ms is less than the least, time=1s", "check", "--budget", "time=1ms", plant);
    refused("states=0 is out of range", "check", "--budget", "states=0", plant);
    refused("states is given twice", "check", "--budget", "states=1,states=2", plant);
  }

  @Test
  void threadsThatMakeNoSense() throws IOException {
    refused("a number from 1 to 256, not 0", "check", "--threads", "0", SmallPlant.in(directory));
  }

  @Test
  void errorInThePlantIsShownWhereItIs() throws IOException {
    String wrong = SmallPlant.TEXT.replace("coast 1..2 s", "coast 1..2");
    Ran ran = Ran.stoplog("check", SmallPlant.in(directory, "wrong.plant", wrong));
    assertEquals(2, ran.status(), ran.err());
    assertEquals("", ran.out());
    assertTrue(ran.err().contains("wrong.plant:4:"), ran.err());
    assertTrue(ran.err().contains("^"), ran.err());
  }

  @Test
  void plantWithoutClaimsIsNotTakenForProved() throws IOException {
    String text = SmallPlant.TEXT.substring(0, SmallPlant.TEXT.indexOf("hazard"));
    Ran ran = Ran.stoplog("check", SmallPlant.in(directory, "silent.plant", text));
    assertEquals(2, ran.status());
    assertTrue(ran.err().contains("nothing to decide"), ran.err());
    assertFalse(ran.out().contains("proved"));
  }

  @Test
  @SuppressWarnings("unchecked")
  void jsonHoldsWhatIsWrong() {
    Ran ran = Ran.stoplog("check", "--json", directory.resolve("none.plant").toString());
    assertEquals(2, ran.status());
    assertEquals("", ran.err());
    Map<String, Object> document = JSON.std.mapFrom(ran.out());
    assertEquals(2, document.get("exit"));
    var diagnostics = (List<Map<String, Object>>) document.get("diagnostics");
    assertEquals("E0101", diagnostics.getFirst().get("code"));
  }
}
