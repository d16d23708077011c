package stoplog.checker.cli;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFileAttributeView;

/** Writes a file so that it is whole or as it was, whatever happens meanwhile. */
final class WholeFile {
  private WholeFile() {}

  /** Written beside its place first and moved there when it is whole; keeps who may read it. */
  static void write(Path file, byte[] bytes) throws IOException {
    String name = file.toAbsolutePath().getFileName() + "." + ProcessHandle.current().pid() + ".tmp";
    Path unfinished = directory(file).resolve(name);
    try {
      Files.deleteIfExists(unfinished);
      try (var channel =
          FileChannel.open(unfinished, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
        ByteBuffer rest = ByteBuffer.wrap(bytes);
        while (rest.hasRemaining()) {
          channel.write(rest);
        }
        // Else the name could outlive the contents where power fails.
        channel.force(true);
      }
      PosixFileAttributeView to =
          Files.getFileAttributeView(unfinished, PosixFileAttributeView.class);
      if (to != null && Files.exists(file)) {
        to.setPermissions(Files.getPosixFilePermissions(file));
      }
      Files.move(
          unfinished, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    } finally {
      Files.deleteIfExists(unfinished);
    }
  }

  /** The directory that holds this file, there or not. */
  static Path directory(Path file) {
    Path parent = file.toAbsolutePath().getParent();
    return parent == null ? file.toAbsolutePath() : parent;
  }
}
