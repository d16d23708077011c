package stoplog.dsl;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.diag.JsonRenderer;
import stoplog.diag.TextRenderer;
import stoplog.source.SourceFile;

class IncludedFilesTest {
  @TempDir Path dir;

  private Path write(String name, String text) throws IOException {
    Path file = dir.resolve(name);
    Files.createDirectories(file.getParent());
    return Files.writeString(file, text);
  }

  private static Diagnostic only(Reading reading) {
    assertNull(reading.model());
    assertEquals(1, reading.diagnostics().size(), () -> reading.diagnostics().toString());
    return reading.diagnostics().getFirst();
  }

  @Test
  void aFindingNamesTheIncludedFileInTextAndInJson() throws IOException {
    write("parts/a.plant", "condition c comes and goes\ncondition d holds when e\n");
    Path main = write("main.plant", "plant \"x\"\ninclude \"parts/a.plant\"\nhazard H-1 : d\n");
    Reading reading = PlantReader.read(main);
    Diagnostic d = only(reading);
    assertEquals(dir.resolve("parts/a.plant") + ":2:24", d.span().place());
    String text = new TextRenderer(false).render(reading.diagnostics());
    assertTrue(text.startsWith(dir.resolve("parts/a.plant") + ":2:24: error E0401"), text);
    assertTrue(text.contains("2 | condition d holds when e\n      |                        ^\n"), text);
    String json = new JsonRenderer().render(reading.diagnostics());
    assertTrue(json.contains("parts/a.plant\", \"line\": 2, \"column\": 24"), json);
    assertEquals(2, reading.files().size());
    assertEquals(main.toString(), reading.files().getFirst().name());
  }

  @Test
  void aLinkOutOfTheDirectoryIsRefusedAndALinkWithinIsNot() throws IOException {
    write("other/secret.plant", "condition c comes and goes\n");
    Path main = write("plant/main.plant", "plant \"x\"\ninclude \"link.plant\"\nhazard H-1 : c\n");
    Path link = dir.resolve("plant/link.plant");
    Files.createSymbolicLink(link, dir.resolve("other/secret.plant"));
    assertEquals(Code.OUTSIDE_PLANT.id(), only(PlantReader.read(main)).code());
    Files.delete(link);
    write("plant/parts/own.plant", "condition c comes and goes\n");
    Files.createSymbolicLink(link, dir.resolve("plant/parts/own.plant"));
    assertNotNull(PlantReader.read(main).model());
  }

  @Test
  void aPathMayGoUpWithinThePlantsDirectory() throws IOException {
    write("parts/a.plant", "include \"../b.plant\"\n");
    write("b.plant", "condition c comes and goes\n");
    Path main =
        write("main.plant", "plant \"x\"\ninclude \"parts/a.plant\"\nhazard H-1 : c\n");
    Reading reading = PlantReader.read(main);
    assertNotNull(reading.model(), () -> reading.diagnostics().toString());
    assertEquals(dir.resolve("b.plant").toString(), reading.files().getLast().name());
  }

  @Test
  void whatIsWrongWithAnIncludedFileAsAFileIsToldOnce() throws IOException {
    Path main = write("main.plant", "plant \"x\"\ninclude \"a.txt\"\nhazard H-1 : c\n");
    Files.write(dir.resolve("a.txt"), new byte[] {(byte) 0xff, 'a'});
    assertEquals(Code.NOT_UTF8.id(), only(PlantReader.read(main)).code());
    write("a.txt", "a\0b");
    assertEquals(Code.NOT_TEXT.id(), only(PlantReader.read(main)).code());
    write("a.txt", " \n");
    assertEquals(Code.EMPTY.id(), only(PlantReader.read(main)).code());
    Files.delete(dir.resolve("a.txt"));
    Files.createDirectory(dir.resolve("a.txt"));
    assertEquals(Code.UNREADABLE.id(), only(PlantReader.read(main)).code());
  }

  @Test
  void aFileThatIncludesItselfIsACircle() throws IOException {
    Path main = write("main.plant", "plant \"x\"\ninclude \"main.plant\"\nhazard H-1 : c\n");
    assertEquals(Code.INCLUDE_CIRCLE.id(), only(PlantReader.read(main)).code());
  }

  @Test
  void manyFilesAreRefusedAndALongChainIsNoOverflow() throws IOException {
    for (int i = 0; i <= IncludedFiles.MAX_FILES; i++) {
      write("f" + i + ".plant", "include \"f" + (i + 1) + ".plant\"\n");
    }
    Path main = write("main.plant", "plant \"x\"\ninclude \"f0.plant\"\nhazard H-1 : c\n");
    assertEquals(Code.TOO_LARGE.id(), only(PlantReader.read(main)).code());
  }

  @Test
  void aTextInMemoryIncludesNothing() {
    byte[] text = "plant \"x\"\ninclude \"a.plant\"\nhazard H-1 : c\n".getBytes(StandardCharsets.UTF_8);
    var file = new SourceFile("x.plant", new String(text, StandardCharsets.UTF_8));
    assertEquals(Code.NO_SUCH_FILE.id(), only(PlantReader.read(file)).code());
  }
}
