package stoplog.checker.cli;

import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.Precedent;
import stoplog.checker.analyse.Remembered;
import stoplog.checker.certificate.CertificateText;
import stoplog.checker.certificate.Seal;
import stoplog.model.Model;

/**
 * What the verdicts of a plant stand on, kept in a file from one run to the next, so that after an edit
 * only those claims are decided again whose question the edit has changed. May be used by any thread.
 *
 * <pre>
 * stoplog ledger 3
 * made by 0.4.0 sha256 …
 * plant Marram Point water skid
 * proof H-01
 *   parts 1
 *   question sha256 …
 *   keeps FV-101 P-201
 *   groups 1/2 A-01 2 A-02 2
 *   scans counted
 *   longest 94 states 12 zones 15
 * run R-01
 *   parts 1
 *   …
 *   leans FV-101 P-201
 *   events 2 fewest 2 states 12 zones 15
 *   ticks 1 end 150
 *   start FV-101 1
 *   steps 2
 *   12 0 start pressed
 *   14 scan
 * deadline FV-101 travel
 *   parts 1
 *   … as of a proof
 * remedies H-02
 *   question sha256 …
 *   found 1
 *   interlock of P-501: SS-201
 * undecided H-03
 *   question sha256 …
 *   given states 20000000 bytes 4294967296 millis 300000 threads 0
 *   covered 7 states 12 zones 15
 *   keeps FV-101 P-201
 *   the budget of 20000000 states is used up
 * seal sha256 …
 * </pre>
 *
 * <p>It is a note to ourselves, not evidence: it is sealed against damage, and whoever forges one only
 * deceives himself. What is made by another build of Stoplog is not believed.
 */
final class Ledger {
  static final String FIRST_LINE = "stoplog ledger 3";

  private final String maker;
  private final String plant;
  private final Map<String, Precedent> verdicts = new TreeMap<>();
  private final Map<String, Precedent.Proof> ofThePlant = new TreeMap<>();
  private final Map<String, Attempt> attempts = new TreeMap<>();
  private final Map<String, Remedied> remedies = new TreeMap<>();

  /** An empty one. */
  Ledger(Model model) {
    this(Build.name(), model.name().replace('\n', ' ').replace('\r', ' '));
  }

  Ledger(String maker, String plant) {
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
      if (!read.plant.equals(empty.plant)) {
        return new Opened(empty, "it was made for another plant, and is left as it is", true);
      }
      return read.maker.equals(empty.maker)
          ? new Opened(read, null, false)
          : new Opened(empty, "it was made by another version of stoplog", false);
    } catch (NoSuchFileException _) {
      return new Opened(empty, null, false);
    } catch (CertificateText.Damaged | CharacterCodingException _) {
      return new Opened(empty, "it was changed after it was made", false);
    } catch (IOException _) {
      return new Opened(empty, "it cannot be read", true);
    }
  }

  synchronized @Nullable Precedent precedent(String claim) {
    return verdicts.get(claim);
  }

  synchronized void put(String claim, Precedent verdict) {
    verdicts.put(claim, verdict);
    attempts.remove(claim);
  }

  /** The last time that the claim was tried and not decided. */
  synchronized @Nullable Attempt attempt(String claim) {
    return attempts.get(claim);
  }

  /** What the claim stood on before its question was another stays: an edit may be taken back. */
  synchronized void put(String claim, Attempt attempt) {
    attempts.put(claim, attempt);
  }

  /**
   * Interlocks that would stop what was found.
   *
   * @param question fingerprint of the plant, the hazard and the run
   */
  record Remedied(String question, List<String> found) {
    Remedied {
      found = List.copyOf(found);
    }
  }

  synchronized @Nullable Remedied remedies(String hazard) {
    return remedies.get(hazard);
  }

  synchronized void put(String hazard, Remedied found) {
    remedies.put(hazard, found);
  }

  /** What is proved of the plant itself. */
  Remembered ofThePlant() {
    return new Remembered() {
      @Override
      public Precedent.@Nullable Proof proofOf(String what) {
        synchronized (Ledger.this) {
          return ofThePlant.get(what);
        }
      }

      @Override
      public void put(String what, Precedent.Proof proof) {
        synchronized (Ledger.this) {
          ofThePlant.put(what, proof);
        }
      }

      @Override
      public boolean isKept() {
        return true;
      }
    };
  }

  /** Writes it whole or not at all; claims that the plant no longer has are left out. */
  synchronized void write(Path file, Model model) throws IOException {
    Set<String> claims = model.claims().stream().map(c -> c.id()).collect(Collectors.toSet());
    verdicts.keySet().retainAll(claims);
    attempts.keySet().retainAll(claims);
    remedies.keySet().retainAll(claims);
    Set<String> clocks = model.clocks().stream().map(c -> c.name()).collect(Collectors.toSet());
    ofThePlant.keySet().removeIf(what -> !clocks.contains(what.replaceFirst(", case \\d+$", "")));
    SealedFile.write(file, text());
  }

  private synchronized String text() {
    var text = new LedgerWriter(maker, plant);
    verdicts.forEach(text::verdict);
    ofThePlant.forEach(text::deadline);
    remedies.forEach(text::remedies);
    attempts.forEach(text::attempt);
    return text.sealed();
  }

  private static Ledger read(byte[] bytes) throws CertificateText.Damaged, CharacterCodingException {
    String text = SealedFile.text(bytes);
    try {
      String[] lines = Seal.off(text).split("\n", -1);
      if (!lines[0].equals(FIRST_LINE)) {
        // Of another form, and so by another maker. The plant is told like this in all of them.
        return new Ledger("", lines[2].substring("plant ".length()));
      }
      Ledger ledger = new LedgerReader(lines).ledger();
      if (ledger.text().equals(text)) {
        return ledger;
      }
    } catch (NumberFormatException | IndexOutOfBoundsException _) {
      // Told below.
    }
    throw new CertificateText.Damaged("it is not written as ledgers are");
  }
}
