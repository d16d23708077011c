package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.jar.Attributes;
import java.util.jar.JarOutputStream;
import java.util.jar.Manifest;
import java.util.zip.ZipEntry;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The launcher script in a checkout of its own, with a program that echoes its arguments for stoplog
 * and a script that only puts that program in place for Maven.
 */
final class LauncherTest {
  private static final Instant LONG_AGO = Instant.parse("2020-01-01T00:00:00Z");

  @TempDir Path directory;
  private Path checkout = Path.of("");
  private Path built = Path.of("");
  private Path builds = Path.of("");

  @BeforeEach
  void layOut() throws IOException {
    Path script = Path.of("stoplog").toAbsolutePath();
    Assumptions.assumeTrue(Files.isExecutable(script) && Files.isExecutable(Path.of("/bin/sh")));
    checkout = Files.createDirectories(directory.resolve("a check out"));
    for (String module : List.of("shared", "dsl", "checker")) {
      Path source = checkout.resolve(module + "/src/main/Source.java");
      Files.createDirectories(source.getParent());
      Files.writeString(source, "");
      Files.writeString(checkout.resolve(module + "/pom.xml"), "");
    }
    Files.writeString(checkout.resolve("pom.xml"), "");
    age(checkout);
    Files.copy(script, checkout.resolve("checker/stoplog"));
    assertTrue(checkout.resolve("checker/stoplog").toFile().setExecutable(true));
    built = jar(directory.resolve("echo.jar"));
    builds = Files.createFile(directory.resolve("builds"));
    Path mvn = Files.createDirectories(directory.resolve("bin")).resolve("mvn");
    Files.writeString(
        mvn,
        """
        #!/bin/sh
        echo build >>'%s'
        sleep 1
        mkdir -p checker/target/lib
        cp '%s' checker/target/stoplog.jar
        """
            .formatted(builds, built));
    assertTrue(mvn.toFile().setExecutable(true));
  }

  private static void age(Path top) throws IOException {
    try (var paths = Files.walk(top)) {
      for (Path path : paths.toList()) {
        Files.setLastModifiedTime(path, FileTime.from(LONG_AGO));
      }
    }
  }

  private static Path jar(Path file) throws IOException {
    var manifest = new Manifest();
    manifest.getMainAttributes().put(Attributes.Name.MANIFEST_VERSION, "1.0");
    manifest.getMainAttributes().put(Attributes.Name.MAIN_CLASS, EchoMain.class.getName());
    String entry = EchoMain.class.getName().replace('.', '/') + ".class";
    try (var jar = new JarOutputStream(Files.newOutputStream(file), manifest);
        InputStream bytes = EchoMain.class.getResourceAsStream("/" + entry)) {
      jar.putNextEntry(new ZipEntry(entry));
      bytes.transferTo(jar);
      jar.closeEntry();
    }
    return file;
  }

  private Process start(Path script, String... args) throws IOException {
    var command = new java.util.ArrayList<String>(List.of(script.toString()));
    command.addAll(List.of(args));
    var builder = new ProcessBuilder(command).directory(Path.of("/").toFile());
    builder.environment().put("STOPLOG_JAVA_HOME", System.getProperty("java.home"));
    builder.environment().put("PATH", directory.resolve("bin") + ":" + System.getenv("PATH"));
    builder.redirectError(ProcessBuilder.Redirect.DISCARD);
    return builder.start();
  }

  private static String outcome(Process process) throws IOException, InterruptedException {
    String out = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertTrue(process.waitFor(60, TimeUnit.SECONDS));
    return process.exitValue() + ": " + out.strip();
  }

  private String launch(String... args) throws IOException, InterruptedException {
    return outcome(start(checkout.resolve("checker/stoplog"), args));
  }

  private long buildCount() throws IOException {
    try (var lines = Files.lines(builds)) {
      return lines.count();
    }
  }

  @Test
  void argumentsAndExitStatusPassThrough() throws IOException, InterruptedException {
    assertEquals("3: 3|two words||*|$HOME", launch("3", "two words", "", "*", "$HOME"));
    assertEquals("0: ", launch());
  }

  @Test
  void symbolicLinksLeadToTheCheckout() throws IOException, InterruptedException {
    Path first = directory.resolve("bin/one");
    Path second = directory.resolve("two");
    Files.createSymbolicLink(first, checkout.resolve("checker/stoplog"));
    Files.createSymbolicLink(second, Path.of("bin/one"));
    assertEquals("1: 1", outcome(start(second, "1")));
  }

  @Test
  void buildsOnceAndAgainAfterAChange() throws IOException, InterruptedException {
    launch("0");
    launch("0");
    assertEquals(1, buildCount());
    Path source = checkout.resolve("dsl/src/main/Source.java");
    Files.setLastModifiedTime(source, FileTime.from(Instant.now()));
    launch("0");
    launch("0");
    assertEquals(2, buildCount());
    Files.delete(source);
    launch("0");
    assertEquals(3, buildCount());
  }

  @Test
  void whatIsBuiltByHandIsNotBuiltAgain() throws IOException, InterruptedException {
    Files.createDirectories(checkout.resolve("checker/target/lib"));
    Files.copy(built, checkout.resolve("checker/target/stoplog.jar"));
    assertEquals("0: 0", launch("0"));
    assertEquals(0, buildCount());
  }

  @Test
  void twoAtOnceBuildOnce() throws IOException, InterruptedException {
    Process one = start(checkout.resolve("checker/stoplog"), "1");
    Process two = start(checkout.resolve("checker/stoplog"), "2");
    assertEquals("1: 1", outcome(one));
    assertEquals("2: 2", outcome(two));
    assertEquals(1, buildCount());
  }

  @Test
  void failedBuildRunsNothing() throws IOException, InterruptedException {
    launch("0");
    Files.writeString(directory.resolve("bin/mvn"), "#!/bin/sh\nexit 1\n");
    Files.setLastModifiedTime(checkout.resolve("pom.xml"), FileTime.from(Instant.now()));
    assertEquals("3: ", launch("0"));
  }
}
