package stoplog.checker.cli;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateText;

/** A certificate as a file: whole or not there at all. */
final class CertificateFile {
  private CertificateFile() {}

  /** Why no certificate can be put there, or null. Asked before a long search, not after. */
  static @Nullable String objection(Path file) {
    if (Files.exists(file) && !Files.isRegularFile(file)) {
      return "it is no ordinary file";
    }
    return Files.isDirectory(directory(file)) ? null : "there is no such directory";
  }

  /** Written beside its place first and moved there when it is whole. */
  static void write(Path file, Certificate certificate) throws IOException {
    byte[] text = CertificateText.write(certificate).getBytes(StandardCharsets.UTF_8);
    String name = file.toAbsolutePath().getFileName() + "." + ProcessHandle.current().pid() + ".tmp";
    Path unfinished = directory(file).resolve(name);
    try {
      Files.write(unfinished, text, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
      Files.move(
          unfinished, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    } finally {
      Files.deleteIfExists(unfinished);
    }
  }

  private static Path directory(Path file) {
    Path parent = file.toAbsolutePath().getParent();
    return parent == null ? file.toAbsolutePath() : parent;
  }

  /** Bytes that are no UTF-8 are no certificate: read leniently, a damaged one might look whole. */
  static Certificate read(byte[] bytes) throws CertificateText.Damaged, CharacterCodingException {
    return CertificateText.read(
        StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(bytes)).toString());
  }
}
