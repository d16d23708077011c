package stoplog.plants.works;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A part of a works: the template of one area, with the templates it uses itself, as it stands in a file
 * beside this class.
 *
 * @param name of the file and of the area's template
 * @param text of the file
 * @param tags how many tags an area of it has: equipment, instruments, contacts and alarms, no claims
 */
record Part(String name, String text, int tags) {
  private static final Pattern TEMPLATE =
      Pattern.compile("^template (\\w+)\\(.*?\\) \\{\\n(.*?)^\\}\\n", Pattern.MULTILINE | Pattern.DOTALL);
  private static final Pattern USE = Pattern.compile("use (\\w+)\\(n = \\{n\\}, k = (\\d)");
  private static final Pattern TAG = Pattern.compile("\\b(?![HR]-)[A-Z]+-\\{n\\}(?:\\d|\\{k\\})+(?![\\d{])");

  static Part named(String name) {
    String text = file(name);
    Map<String, String> templates = new HashMap<>();
    for (Matcher m = TEMPLATE.matcher(text); m.find(); ) {
      templates.put(m.group(1), m.group(2));
    }
    String area = templates.get(name);
    if (area == null) {
      throw new IllegalStateException("no template " + name);
    }
    Set<String> tags = new TreeSet<>();
    TAG.matcher(area).results().forEach(m -> tags.add(m.group()));
    for (Matcher m = USE.matcher(area); m.find(); ) {
      String inner = templates.get(m.group(1)).replace("{k}", m.group(2));
      TAG.matcher(inner).results().forEach(t -> tags.add(t.group()));
    }
    return new Part(name, text, tags.size());
  }

  /** The text of a file beside this class. */
  static String file(String name) {
    try (InputStream in = Part.class.getResourceAsStream("/stoplog/plants/works/" + name + ".plant")) {
      if (in == null) {
        throw new IllegalStateException("no file " + name);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
