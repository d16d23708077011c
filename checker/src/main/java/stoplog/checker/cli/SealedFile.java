package stoplog.checker.cli;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/** What stoplog reads again, a certificate or a ledger, as a file: whole or not there at all. */
final class SealedFile {
  private SealedFile() {}

  /** Why nothing can be put there, or null. Asked before a long search, not after. */
  static @Nullable String objection(Path file) {
    if (Files.exists(file) && !Files.isRegularFile(file)) {
      return "it is no ordinary file";
    }
    return Files.isDirectory(WholeFile.directory(file)) ? null : "there is no such directory";
  }

  static void write(Path file, String text) throws IOException {
    WholeFile.write(file, text.getBytes(StandardCharsets.UTF_8));
  }

  /** Bytes that are no UTF-8 are none of these: read leniently, a damaged one might look whole. */
  static String text(byte[] bytes) throws CharacterCodingException {
    return StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(bytes)).toString();
  }
}
