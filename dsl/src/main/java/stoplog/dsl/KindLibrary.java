package stoplog.dsl;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import stoplog.diag.Diagnostic;
import stoplog.diag.TextRenderer;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.resolve.KindResolver;
import stoplog.dsl.syntax.TreeReader;
import stoplog.dsl.tree.Declaration;
import stoplog.source.SourceFile;

/**
 * The kinds of equipment that ship with the language, written in it: one text for each family. Read
 * once, when first asked for.
 */
public final class KindLibrary {
  /** The families, in the order in which their kinds are listed. */
  private static final List<String> FAMILIES =
      List.of(
          "valves",
          "pumps",
          "drives",
          "dosing",
          "control_valves",
          "divert_valves",
          "protection",
          "heating",
          "tanks");

  private KindLibrary() {}

  private static final class Held {
    static final Map<String, Kind> KINDS = read();
  }

  /** All of them, by their word, in the order written. */
  public static Map<String, Kind> shipped() {
    return Held.KINDS;
  }

  /** The texts they are written in. */
  public static List<SourceFile> texts() {
    return FAMILIES.stream().map(KindLibrary::text).toList();
  }

  private static Map<String, Kind> read() {
    var kinds = new LinkedHashMap<String, Kind>();
    for (SourceFile file : texts()) {
      var diagnostics = new ArrayList<Diagnostic>();
      for (Declaration d : TreeReader.read(file, diagnostics).declarations()) {
        if (d instanceof Declaration.KindOf k) {
          Kind kind = KindResolver.resolve(k, diagnostics);
          if (kind != null) {
            kinds.put(kind.word(), kind);
          }
        }
      }
      if (!diagnostics.isEmpty()) {
        throw new IllegalStateException(
            "the library of kinds is broken\n" + new TextRenderer(false).render(diagnostics));
      }
    }
    return Collections.unmodifiableMap(kinds);
  }

  private static SourceFile text(String family) {
    String name = "kinds/" + family + ".plant";
    try (InputStream in = KindLibrary.class.getResourceAsStream(name)) {
      if (in == null) {
        throw new IllegalStateException("the language ships without " + name);
      }
      return new SourceFile(name, new String(in.readAllBytes(), StandardCharsets.UTF_8));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
