package stoplog.plants;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.lang.classfile.ClassFile;
import java.lang.classfile.MethodModel;
import java.lang.classfile.instruction.LineNumber;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** Files and methods that have grown so long that they should be looked at: what else is in them? */
class SizesTest {
  private static final int LONGEST_FILE = 400;
  private static final int LONGEST_METHOD = 70;

  private static List<Path> files(String below, String ending) throws IOException {
    var all = new ArrayList<Path>();
    for (String module : List.of("shared", "dsl", "checker", "plants")) {
      try (Stream<Path> files = Files.walk(Path.of("..", module, below))) {
        files.filter(f -> f.toString().endsWith(ending)).forEach(all::add);
      }
    }
    return all;
  }

  @Test
  void noFileIsTooLong() throws IOException {
    List<Path> files = files("src", ".java");
    var tooLong = new ArrayList<String>();
    for (Path file : files) {
      int lines = Files.readAllLines(file).size();
      if (lines > LONGEST_FILE) {
        tooLong.add(file + " has " + lines + " lines");
      }
    }
    assertTrue(files.size() > 500, "only " + files.size() + " files");
    assertEquals(List.of(), tooLong);
  }

  @Test
  void noMethodIsTooLong() throws IOException {
    int methods = 0;
    var tooLong = new ArrayList<String>();
    for (String below : List.of("target/classes", "target/test-classes")) {
      for (Path file : files(below, ".class")) {
        var parsed = ClassFile.of().parse(file);
        for (MethodModel m : parsed.methods()) {
          int lines = lines(m);
          methods += lines > 0 ? 1 : 0;
          if (lines > LONGEST_METHOD && !isGenerated(file)) {
            tooLong.add(parsed.thisClass().asInternalName() + "." + m.methodName() + ": " + lines);
          }
        }
      }
    }
    assertTrue(methods > 5_000, "only " + methods + " methods");
    assertEquals(List.of(), tooLong);
  }

  private static boolean isGenerated(Path file) {
    return file.getFileName().toString().matches("Plant(Lexer|Parser).*");
  }

  /** From the first line with code to the last; 0 for what takes its fields' lines in. */
  private static int lines(MethodModel method) {
    if (method.methodName().stringValue().endsWith("init>")) {
      return 0;
    }
    var lines =
        method.code().stream()
            .flatMap(c -> c.elementStream())
            .filter(LineNumber.class::isInstance)
            .mapToInt(e -> ((LineNumber) e).line())
            .summaryStatistics();
    return lines.getCount() == 0 ? 0 : lines.getMax() - lines.getMin() + 1;
  }
}
