package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Whoever is killed while writing a file leaves it as it was before or as it was to become. */
final class KilledWhileWritingTest {
  private static final int KILLS = 12;
  private static final int BYTES = 4 << 20;

  @TempDir Path directory;

  /** Writes one file after the other over the last, each of one letter only. */
  public static final class Writer {
    private Writer() {}

    public static void main(String[] args) throws IOException {
      Path file = Path.of(args[0]);
      for (int i = 0; true; i++) {
        String letter = String.valueOf((char) ('a' + i % 26));
        WholeFile.write(file, letter.repeat(BYTES).getBytes(StandardCharsets.UTF_8));
        if (i == 0) {
          System.out.println("begun");
        }
      }
    }
  }

  @Test
  void fileIsWholeWheneverTheWriterIsKilled() throws Exception {
    Path file = directory.resolve("h1.proof");
    Files.writeString(file, "z".repeat(BYTES));
    var random = new Random(20261125);
    for (int i = 0; i < KILLS; i++) {
      Process writer =
          new ProcessBuilder(
                  Path.of(System.getProperty("java.home"), "bin", "java").toString(), "-Xshare:auto",
                  "-cp", System.getProperty("java.class.path"), Writer.class.getName(),
                  file.toString())
              .redirectError(ProcessBuilder.Redirect.INHERIT)
              .start();
      assertEquals("begun", writer.inputReader().readLine());
      Thread.sleep(random.nextInt(40));
      writer.destroyForcibly().waitFor();
      byte[] bytes = Files.readAllBytes(file);
      assertEquals(BYTES, bytes.length);
      for (byte b : bytes) {
        assertEquals(bytes[0], b);
      }
    }
    Files.writeString(directory.resolve("beside"), "kept");
    WholeFile.write(file, new byte[] {1});
    try (var files = Files.list(directory)) {
      assertTrue(files.count() <= 2 + KILLS);
    }
  }
}
