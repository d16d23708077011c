package stoplog.checker.cli;

import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.StringJoiner;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.Grounds;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateText;
import stoplog.checker.certificate.Seal;
import stoplog.model.Model;

/**
 * What the proofs of a plant stand on, kept in a file from one run to the next, so that after an edit
 * only those claims are decided again whose question the edit has changed. May be used by any thread.
 *
 * <pre>
 * stoplog ledger 1
 * made by 0.4.0 sha256 …
 * plant Marram Point water skid
 * proof H-01
 *   question sha256 …
 *   keeps FV-101 P-201
 *   groups 1/2 A-01 2 A-02 2
 *   scans counted
 *   longest 94 states 12 zones 15
 * seal sha256 …
 * </pre>
 *
 * <p>It is a note to ourselves, not evidence: it is sealed against damage, and whoever forges one only
 * deceives himself. What is made by another build of Stoplog is not believed.
 */
final class Ledger {
  private static final String FIRST_LINE = "stoplog ledger 1";

  /** No name of a plant holds it. */
  private static final String BETWEEN = "\t";

  private final String maker;
  private final String plant;
  private final Map<String, Grounds.Proof> proofs = new TreeMap<>();

  /** An empty one. */
  Ledger(Model model) {
    this(Build.name(), model.name().replace('\n', ' ').replace('\r', ' '));
  }

  private Ledger(String maker, String plant) {
    this.maker = maker;
    this.plant = plant;
  }

  /**
   * The ledger of a plant.
   *
   * @param ignored why what stands in the file is not used; null if all is well
   * @param foreign whether the file is something else altogether, and not to be written over
   */
  record Opened(Ledger ledger, @Nullable String ignored, boolean foreign) {}

  static Opened open(Path file, Model model) {
    var empty = new Ledger(model);
    try {
      byte[] bytes = Files.readAllBytes(file);
      if (!new String(bytes, StandardCharsets.ISO_8859_1).startsWith("stoplog ledger ")) {
        return new Opened(empty, "it is no ledger, and is left as it is", true);
      }
      Ledger read = read(bytes);
      String why =
          !read.maker.equals(empty.maker)
              ? "it was made by another version of stoplog"
              : read.plant.equals(empty.plant) ? null : "it was made for another plant";
      return why == null ? new Opened(read, null, false) : new Opened(empty, why, false);
    } catch (NoSuchFileException _) {
      return new Opened(empty, null, false);
    } catch (CertificateText.Damaged | CharacterCodingException _) {
      return new Opened(empty, "it was changed after it was made", false);
    } catch (IOException _) {
      return new Opened(empty, "it cannot be read", true);
    }
  }

  synchronized Grounds.@Nullable Proof proof(String claim) {
    return proofs.get(claim);
  }

  synchronized void put(String claim, Grounds.Proof proof) {
    proofs.put(claim, proof);
  }

  /** Writes it whole or not at all; claims that the plant no longer has are left out. */
  synchronized void write(Path file, Model model) throws IOException {
    proofs.keySet().retainAll(model.claims().stream().map(c -> c.id()).toList());
    SealedFile.write(file, text());
  }

  private synchronized String text() {
    var text = new StringBuilder();
    line(text, FIRST_LINE);
    line(text, "made by " + maker);
    line(text, "plant " + plant);
    proofs.forEach(
        (claim, p) -> {
          line(text, "proof " + claim);
          line(text, "  question sha256 " + p.grounds().question());
          line(text, "  keeps " + String.join(BETWEEN, p.grounds().keeps()));
          line(text, "  groups " + groups(p.grounds().groups()));
          line(text, p.grounds().due() ? "  scans counted" : "  scans at any time");
          line(
              text,
              "  longest " + p.longestQuanta() + " states " + p.states() + " zones " + p.zones());
        });
    return Seal.on(text.toString());
  }

  private static void line(StringBuilder text, String line) {
    text.append(line).append('\n');
  }

  private static Ledger read(byte[] bytes) throws CertificateText.Damaged, CharacterCodingException {
    String text = SealedFile.text(bytes);
    String[] lines = Seal.off(text).split("\n", -1);
    try {
      var ledger = new Ledger(after("made by ", lines[1]), after("plant ", lines[2]));
      for (int i = 3; i + 5 < lines.length; i += 6) {
        String[] numbers = lines[i + 5].split(" ");
        ledger.proofs.put(
            after("proof ", lines[i]),
            new Grounds.Proof(
                new Grounds(
                    words(after("  keeps ", lines[i + 2])),
                    lines[i + 4].equals("  scans counted"),
                    groups(after("  groups ", lines[i + 3])),
                    after("  question sha256 ", lines[i + 1])),
                Long.parseLong(numbers[3]),
                Long.parseLong(numbers[5]),
                Long.parseLong(numbers[7])));
      }
      if (ledger.text().equals(text)) {
        return ledger;
      }
    } catch (NumberFormatException | IndexOutOfBoundsException _) {
      // Told below.
    }
    throw new CertificateText.Damaged("it is not written as ledgers are");
  }

  private static String after(String start, String line) {
    return line.substring(start.length());
  }

  private static List<String> words(String text) {
    return text.isEmpty() ? List.of() : List.of(text.split(BETWEEN));
  }

  private static String groups(List<Certificate.Group> groups) {
    var all = new StringJoiner(BETWEEN);
    for (Certificate.Group g : groups) {
      all.add(g.atLeast() + "/" + g.members().size());
      g.members().forEach(m -> all.add(m.variable()).add(Long.toHexString(m.values())));
    }
    return all.toString();
  }

  private static List<Certificate.Group> groups(String text) {
    List<String> words = words(text);
    var groups = new ArrayList<Certificate.Group>();
    for (int at = 0; at < words.size(); ) {
      String[] numbers = words.get(at++).split("/", -1);
      var members = new ArrayList<Certificate.Member>();
      for (int left = Integer.parseInt(numbers[1]); left > 0; left--) {
        String name = words.get(at++);
        members.add(new Certificate.Member(name, Long.parseUnsignedLong(words.get(at++), 16)));
      }
      groups.add(new Certificate.Group(Integer.parseInt(numbers[0]), members));
    }
    return groups;
  }
}
