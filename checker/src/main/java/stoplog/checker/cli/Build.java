package stoplog.checker.cli;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.CodeSource;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Stream;
import stoplog.dsl.PlantReader;
import stoplog.model.Model;

/** Which stoplog this is, to the byte: between two releases there are many of one version. */
final class Build {
  private static final String NAME = Stoplog.Version.number() + " sha256 " + digest();

  private Build() {}

  static String name() {
    return NAME;
  }

  /** Of all that decides: the command and engine, the language, the model. */
  private static String digest() {
    try {
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      for (Class<?> one : List.of(Stoplog.class, PlantReader.class, Model.class)) {
        CodeSource source = one.getProtectionDomain().getCodeSource();
        if (source != null) {
          add(digest, Path.of(source.getLocation().toURI()));
        }
      }
      return HexFormat.of().formatHex(digest.digest());
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    } catch (IOException | URISyntaxException e) {
      throw new IllegalStateException("the program cannot read itself", e);
    }
  }

  private static void add(MessageDigest digest, Path place) throws IOException {
    if (!Files.isDirectory(place)) {
      digest.update(Files.readAllBytes(place));
      return;
    }
    try (Stream<Path> files = Files.walk(place)) {
      for (Path file : files.filter(Files::isRegularFile).sorted().toList()) {
        digest.update(Files.readAllBytes(file));
      }
    }
  }
}
