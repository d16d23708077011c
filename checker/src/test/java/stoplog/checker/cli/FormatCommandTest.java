package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.stream.Stream;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code stoplog format} writes the layout, or says that it would, or leaves the file alone. */
final class FormatCommandTest {
  private static final String RAGGED = "plant \"x\"\npump   P-1 { coast 1..2s }  -- a pump\n";
  private static final String SET = "plant \"x\"\npump P-1 { coast 1..2 s }  -- a pump\n";

  @TempDir Path directory;

  private Path file(String name, String text) throws IOException {
    return Files.writeString(directory.resolve(name), text);
  }

  @Test
  void writesTheLayoutOnce() throws IOException {
    Path file = file("x.plant", RAGGED);
    Ran first = Ran.stoplog("format", file.toString());
    assertEquals(0, first.status(), first.err());
    assertEquals(SET, Files.readString(file));
    assertEquals(file + " is set anew\n", first.out());
    Ran second = Ran.stoplog("format", directory.toString());
    assertEquals(0, second.status());
    assertEquals("", second.out() + second.err());
    try (Stream<Path> left = Files.list(directory)) {
      assertEquals(1, left.count());
    }
  }

  @Test
  void checkOnlyTells() throws IOException {
    Path ragged = file("a.plant", RAGGED);
    Path set = file("b.plant", SET);
    Ran ran = Ran.stoplog("format", "--check", ragged.toString(), set.toString());
    assertEquals(1, ran.status());
    assertEquals(ragged + " has another layout\n", ran.out());
    assertEquals(RAGGED, Files.readString(ragged));
    assertEquals(0, Ran.stoplog("format", "--check", set.toString()).status());
  }

  @Test
  void fileWithErrorsIsLeftAlone() throws IOException {
    for (String wrong : new String[] {"plant \"x\"\npump\n", "? ".repeat(100), "", "plant \"\0\""}) {
      Path file = file("x.plant", wrong);
      Ran ran = Ran.stoplog("format", file.toString());
      assertEquals(2, ran.status());
      assertEquals("", ran.out());
      assertFalse(ran.err().isEmpty());
      assertEquals(wrong, Files.readString(file));
    }
    assertEquals(2, Ran.stoplog("format", directory.resolve("none.plant").toString()).status());
    assertEquals(2, Ran.stoplog("format").status());
  }

  @Test
  void linkStaysALinkAndPermissionsStay() throws IOException {
    Path file = file("x.plant", RAGGED);
    Assumptions.assumeTrue(file.getFileSystem().supportedFileAttributeViews().contains("posix"));
    var permissions = PosixFilePermissions.fromString("rw-r-----");
    Files.setPosixFilePermissions(file, permissions);
    Path link = Files.createSymbolicLink(directory.resolve("link.plant"), file);
    assertEquals(0, Ran.stoplog("format", link.toString()).status());
    assertTrue(Files.isSymbolicLink(link));
    assertEquals(SET, Files.readString(file));
    assertEquals(permissions, Files.getPosixFilePermissions(file));
  }
}
