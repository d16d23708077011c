package stoplog.dsl;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.diag.TextRenderer;
import stoplog.source.SourceFile;

/** Input that is no plant gives diagnostics: no exception, no stack overflow, no hang. */
class RobustnessTest {
  private static Reading read(String text) {
    return PlantReader.read(new SourceFile("x.plant", text));
  }

  private static void refusedOnceWith(Code code, Reading reading) {
    assertNull(reading.model());
    assertEquals(
        1,
        reading.diagnostics().size(),
        () -> new TextRenderer(false).render(reading.diagnostics()));
    assertEquals(code.id(), reading.diagnostics().getFirst().code());
  }

  @Test
  void tenMegabytesOfGarbageAreOneError(@TempDir Path dir) throws IOException {
    byte[] garbage = new byte[10 << 20];
    new Random(7).nextBytes(garbage);
    Path file = Files.write(dir.resolve("big.plant"), garbage);
    refusedOnceWith(Code.TOO_LARGE, PlantReader.read(file));
    refusedOnceWith(Code.TOO_LARGE, read("a ".repeat(5 << 20)));
    refusedOnceWith(
        Code.NOT_UTF8, PlantReader.read(Files.write(file, Arrays.copyOf(garbage, 1 << 20))));
  }

  @Test
  void megabytesOfOneSignEnd() {
    for (String sign :
        new String[] {
          "(", "{", "}", ")", "x ", "not ", "? ", "\"", "and ", "P-1 ", "panel {", "\n;"
        }) {
      Reading reading = read("plant \"x\"\n" + sign.repeat((2 << 20) / sign.length()));
      assertNull(reading.model(), sign);
      assertTrue(new TextRenderer(false).render(reading.diagnostics()).length() < 20_000, sign);
      assertTrue(reading.diagnostics().size() <= 30, sign + reading.diagnostics().size());
    }
  }

  @Test
  void manyErrorsOnOneLongLineAreShownInTime() {
    String line = "plant \"x\" hazard H-1 : " + "y or ".repeat(400_000) + "y";
    Reading reading = read(line);
    assertNull(reading.model());
    assertTrue(new TextRenderer(false).render(reading.diagnostics()).length() < 200_000);
  }

  @Test
  void tenThousandParenthesesAreOneError() {
    String deep = "(".repeat(10_000) + "x" + ")".repeat(10_000);
    refusedOnceWith(Code.TOO_DEEP, read("plant \"x\"\ncondition y holds when " + deep));
    refusedOnceWith(
        Code.TOO_DEEP, read("plant \"x\"\ncondition y holds when " + "not ".repeat(10_000) + "y"));
  }

  @Test
  void manyTermsInARowAreNoNesting() {
    String many = "P-1 is turning and ".repeat(20_000) + "P-1 is turning";
    assertNotNull(read("plant \"x\"\npump P-1 by hand\nhazard H-1 : " + many).model());
  }

  @Test
  void aLongChainOfConditionsIsRead() {
    var text = new StringBuilder("plant \"x\"\npump P-1 by hand\n");
    for (int i = 0; i < 20_000; i++) {
      text.append("condition c").append(i).append(" holds when c").append(i + 1).append('\n');
    }
    text.append("condition c20000 comes and goes\nhazard H-1 : c0\n");
    assertNotNull(read(text.toString()).model());
  }

  @Test
  void aLongCircleOfConditionsIsOneError() {
    var text = new StringBuilder("plant \"x\"\npump P-1 by hand\n");
    for (int i = 0; i < 5_000; i++) {
      text.append("condition c")
          .append(i)
          .append(" holds when c")
          .append((i + 1) % 5_000)
          .append('\n');
    }
    refusedOnceWith(Code.CYCLE, read(text + "hazard H-1 : c0\n"));
  }

  @Test
  void hugeNumbersAreErrors() {
    assertNull(
        read("plant \"x\"\npump P-1 by hand { ramp 1.." + "9".repeat(10_000) + " h }\n").model());
    String tiny = "0." + "0".repeat(10_000) + "1";
    assertNull(read("plant \"x\"\npump P-1 by hand { ramp " + tiny + "..1 s }\n").model());
  }

  @Test
  void charactersBeyondTheBasicPlaneKeepPlacesRight() {
    Reading reading =
        read("plant \"\uD83D\uDCA7\uD83D\uDCA7\" -- \uD83D\uDCA7\ncondition x holds when y\n");
    Diagnostic d = reading.diagnostics().getFirst();
    assertEquals("y", d.span().text());
    assertEquals("x.plant:2:24", d.span().place());
  }

  @Test
  void includedFileThatIsNoTextIsOneError(@TempDir Path dir) throws IOException {
    Path plant =
        Files.writeString(
            dir.resolve("x.plant"),
            "plant \"x\"\ninclude \"part.txt\"\npump P-1 by hand\nhazard H-1 : P-1 is turning\n");
    Path part = dir.resolve("part.txt");
    byte[] garbage = new byte[10 << 20];
    new Random(7).nextBytes(garbage);
    Files.write(part, garbage);
    refusedOnceWith(Code.TOO_LARGE, PlantReader.read(plant));
    Files.write(part, Arrays.copyOf(garbage, 1 << 20));
    refusedOnceWith(Code.NOT_UTF8, PlantReader.read(plant));
    Files.writeString(part, "pump P-2 \0 by hand\n");
    refusedOnceWith(Code.NOT_TEXT, PlantReader.read(plant));
    Files.writeString(part, "condition y holds when " + "(".repeat(10_000));
    refusedOnceWith(Code.TOO_DEEP, PlantReader.read(plant));
    Files.delete(part);
    refusedOnceWith(Code.NO_SUCH_FILE, PlantReader.read(plant));
    Files.writeString(part, "include \"x.plant\"\n");
    refusedOnceWith(Code.INCLUDE_CIRCLE, PlantReader.read(plant));
  }

  @Test
  void tenThousandBracesAreOneError() {
    refusedOnceWith(Code.TOO_DEEP, read("plant \"x\"\n" + "template t {\n".repeat(10_000)));
    refusedOnceWith(
        Code.TOO_DEEP,
        read("plant \"x\"\nlogic {\nsequence s {\n" + "macro m {\n".repeat(10_000)));
  }
}
