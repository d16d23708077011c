package stoplog.dsl;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/** Gets the text of a plant from the file system. */
final class PlantFile {
  /** Ten times the size of a plant of ten thousand tags. */
  static final int MAX_BYTES = 4 << 20;

  private PlantFile() {}

  /** The text, or {@code null} with the reason told. */
  static @Nullable SourceFile load(Path path, List<Diagnostic> diagnostics) {
    Path file = Files.isDirectory(path) ? only(path, diagnostics) : path;
    if (file == null) {
      return null;
    }
    String name = file.toString();
    if (!Files.exists(file)) {
      return refuse(name, Code.NO_SUCH_FILE, "there is no such file", "", diagnostics);
    }
    if (!Files.isRegularFile(file)) {
      return refuse(name, Code.UNREADABLE, "this is not a file", "", diagnostics);
    }
    try {
      if (Files.size(file) > MAX_BYTES) {
        return refuse(
            name,
            Code.TOO_LARGE,
            "the file is larger than " + (MAX_BYTES >> 20) + " MB",
            "no plant text is that long",
            diagnostics);
      }
      return text(name, Files.readAllBytes(file), diagnostics);
    } catch (IOException e) {
      return refuse(name, Code.UNREADABLE, "this file cannot be read", "", diagnostics);
    }
  }

  private static @Nullable Path only(Path directory, List<Diagnostic> diagnostics) {
    var plants = new ArrayList<Path>();
    try (DirectoryStream<Path> entries = Files.newDirectoryStream(directory, "*.plant")) {
      entries.forEach(plants::add);
    } catch (IOException | DirectoryIteratorException e) {
      refuse(
          directory.toString(), Code.UNREADABLE, "this directory cannot be read", "", diagnostics);
      return null;
    }
    if (plants.size() == 1) {
      return plants.getFirst();
    }
    String message =
        plants.isEmpty()
            ? "the directory " + directory + " holds no .plant file"
            : "the directory " + directory + " holds " + plants.size() + " .plant files";
    Diagnostic d = Diagnostic.of(Code.NOT_ONE_PLANT, Span.NONE, message);
    diagnostics.add(plants.isEmpty() ? d : d.withFix("name the file"));
    return null;
  }

  private static @Nullable SourceFile text(
      String name, byte[] bytes, List<Diagnostic> diagnostics) {
    try {
      String text =
          StandardCharsets.UTF_8
              .newDecoder()
              .onMalformedInput(CodingErrorAction.REPORT)
              .onUnmappableCharacter(CodingErrorAction.REPORT)
              .decode(ByteBuffer.wrap(bytes))
              .toString();
      SourceFile file = new SourceFile(name, text);
      return check(file, diagnostics) ? file : null;
    } catch (CharacterCodingException e) {
      return refuse(
          name, Code.NOT_UTF8, "the file is not UTF-8 text", "plant files are UTF-8", diagnostics);
    }
  }

  /** Whether this is text at all, and there is some; if not, that is told. */
  static boolean check(SourceFile file, List<Diagnostic> diagnostics) {
    String text = file.text();
    int nul = text.indexOf('\0');
    if (nul >= 0) {
      Span at = new Span(file, nul, nul);
      diagnostics.add(
          Diagnostic.of(Code.NOT_TEXT, at, "the file is not text: it holds a NUL character"));
      return false;
    }
    if (text.length() > MAX_BYTES) {
      refuse(
          file.name(),
          Code.TOO_LARGE,
          "the text is larger than " + (MAX_BYTES >> 20) + " MB",
          "",
          diagnostics);
      return false;
    }
    if (text.isBlank() || text.equals("\uFEFF")) {
      refuse(file.name(), Code.EMPTY, "the file is empty", "", diagnostics);
      return false;
    }
    return true;
  }

  private static @Nullable SourceFile refuse(
      String name, Code code, String message, String why, List<Diagnostic> diagnostics) {
    // Names the file by an empty one: there is a place to print, and no line to show.
    Span top = new Span(new SourceFile(name, ""), 0, 0);
    diagnostics.add(Diagnostic.of(code, top, message).withWhy(why));
    return null;
  }
}
