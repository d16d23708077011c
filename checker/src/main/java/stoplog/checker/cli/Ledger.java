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
import java.util.Set;
import java.util.StringJoiner;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.Grounds;
import stoplog.checker.abstraction.Precedent;
import stoplog.checker.analyse.Remembered;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateText;
import stoplog.checker.certificate.Seal;
import stoplog.checker.evidence.NamedRun;
import stoplog.checker.report.Given;
import stoplog.model.Model;
import stoplog.model.Verdict;

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
  private static final String FIRST_LINE = "stoplog ledger 3";

  /** No name of a plant holds it. */
  private static final String BETWEEN = "\t";

  private final String maker;
  private final String plant;
  private final Map<String, Precedent> verdicts = new TreeMap<>();
  private final Map<String, Precedent.Proof> ofThePlant = new TreeMap<>();
  private final Map<String, Attempt> attempts = new TreeMap<>();

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
    Set<String> clocks = model.clocks().stream().map(c -> c.name()).collect(Collectors.toSet());
    ofThePlant.keySet().removeIf(what -> !clocks.contains(what.replaceFirst(", case \\d+$", "")));
    SealedFile.write(file, text());
  }

  private synchronized String text() {
    var text = new StringBuilder();
    line(text, FIRST_LINE);
    line(text, "made by " + maker);
    line(text, "plant " + plant);
    verdicts.forEach(
        (claim, verdict) -> {
          switch (verdict) {
            case Precedent.Proof p -> {
              line(text, "proof " + claim);
              proof(text, p);
            }
            case Precedent.Found f -> {
              line(text, "run " + claim);
              grounds(text, f.grounds());
              line(text, "  leans " + String.join(BETWEEN, f.leans()));
              line(
                  text,
                  "  events " + f.events() + " fewest " + f.fewest() + " states " + f.states()
                      + " zones " + f.zones());
              run(text, f.run());
            }
          }
        });
    ofThePlant.forEach(
        (what, proof) -> {
          line(text, "deadline " + what);
          proof(text, proof);
        });
    attempts.forEach((claim, attempt) -> attempt(text, claim, attempt));
    return Seal.on(text.toString());
  }

  private static void proof(StringBuilder text, Precedent.Proof p) {
    grounds(text, p.grounds());
    line(text, "  longest " + p.longestQuanta() + " states " + p.states() + " zones " + p.zones());
  }

  private static void attempt(StringBuilder text, String claim, Attempt attempt) {
    Given g = attempt.given();
    Verdict.Undecided v = attempt.verdict();
    line(text, "undecided " + claim);
    line(text, "  question sha256 " + attempt.question());
    line(
        text,
        "  given states " + g.states() + " bytes " + g.bytes() + " millis " + g.millis() + " threads "
            + g.threads());
    line(
        text,
        "  covered " + v.covered() + " states " + v.effort().states() + " zones " + v.effort().zones());
    line(text, "  keeps " + String.join(BETWEEN, v.kept()));
    line(text, "  " + v.reason());
  }

  private static void grounds(StringBuilder text, Grounds grounds) {
    line(text, "  parts " + grounds.parts().size());
    for (Grounds.Part p : grounds.parts()) {
      line(text, "  question sha256 " + p.question());
      line(text, "  keeps " + String.join(BETWEEN, p.keeps()));
      line(text, "  groups " + groups(p.groups()));
      line(text, p.due() ? "  scans counted" : "  scans at any time");
    }
  }

  private static void run(StringBuilder text, NamedRun run) {
    line(text, "  ticks " + run.ticksPerQuantum() + " end " + run.endTick());
    var start = new StringJoiner(BETWEEN);
    new TreeMap<>(run.start()).forEach((name, value) -> start.add(name).add("" + value));
    line(text, "  start " + start);
    line(text, "  steps " + run.steps().size());
    for (NamedRun.Step s : run.steps()) {
      line(text, "  " + s.tick() + (s.change() == null ? " scan" : " " + s.among() + " " + s.change()));
    }
  }

  private static void line(StringBuilder text, String line) {
    text.append(line.replace('\n', ' ').replace('\r', ' ')).append('\n');
  }

  private static Ledger read(byte[] bytes) throws CertificateText.Damaged, CharacterCodingException {
    String text = SealedFile.text(bytes);
    try {
      Ledger ledger = new Reader(Seal.off(text).split("\n", -1)).ledger();
      if (ledger.text().equals(text)) {
        return ledger;
      }
    } catch (NumberFormatException | IndexOutOfBoundsException _) {
      // Told below.
    }
    throw new CertificateText.Damaged("it is not written as ledgers are");
  }

  /** Believes every line to be what it should be: what is read is written again and compared. */
  private static final class Reader {
    private final String[] lines;
    private int at = 1;

    Reader(String[] lines) {
      this.lines = lines;
    }

    Ledger ledger() {
      var ledger = new Ledger(after("made by "), after("plant "));
      while (at + 1 < lines.length) {
        String line = lines[at++];
        if (line.startsWith("proof ")) {
          ledger.verdicts.put(line.substring("proof ".length()), proof());
        } else if (line.startsWith("deadline ")) {
          ledger.ofThePlant.put(line.substring("deadline ".length()), proof());
        } else if (line.startsWith("undecided ")) {
          ledger.attempts.put(line.substring("undecided ".length()), attempt());
        } else {
          ledger.verdicts.put(line.substring("run ".length()), found());
        }
      }
      return ledger;
    }

    private Precedent.Proof proof() {
      Grounds grounds = grounds();
      String[] numbers = numbers();
      return new Precedent.Proof(
          grounds, Long.parseLong(numbers[1]), Long.parseLong(numbers[3]), Long.parseLong(numbers[5]));
    }

    private Precedent found() {
      Grounds grounds = grounds();
      List<String> leans = words(after("  leans "));
      String[] numbers = numbers();
      return new Precedent.Found(
          grounds, run(), Integer.parseInt(numbers[1]), Integer.parseInt(numbers[3]), leans,
          Long.parseLong(numbers[5]), Long.parseLong(numbers[7]));
    }

    private Attempt attempt() {
      String question = after("  question sha256 ");
      String[] given = after("  given ").split(" ");
      String[] numbers = numbers();
      List<String> keeps = words(after("  keeps "));
      var effort = new Verdict.Effort(Long.parseLong(numbers[3]), Long.parseLong(numbers[5]), 0, 0);
      return new Attempt(
          question,
          new Verdict.Undecided(after("  "), Integer.parseInt(numbers[1]), keeps, effort),
          new Given(
              Long.parseLong(given[1]), Long.parseLong(given[3]), Long.parseLong(given[5]),
              Integer.parseInt(given[7])));
    }

    private Grounds grounds() {
      var parts = new ArrayList<Grounds.Part>();
      for (int left = Integer.parseInt(after("  parts ")); left > 0; left--) {
        String question = after("  question sha256 ");
        List<String> keeps = words(after("  keeps "));
        List<Certificate.Group> groups = groups(after("  groups "));
        parts.add(new Grounds.Part(keeps, after("  scans ").equals("counted"), groups, question));
      }
      return new Grounds(parts);
    }

    private NamedRun run() {
      String[] times = numbers();
      List<String> words = words(after("  start "));
      var start = new TreeMap<String, Integer>();
      for (int i = 0; i < words.size(); i += 2) {
        start.put(words.get(i), Integer.parseInt(words.get(i + 1)));
      }
      var steps = new ArrayList<NamedRun.Step>();
      for (int left = Integer.parseInt(after("  steps ")); left > 0; left--) {
        String[] step = after("  ").split(" ", 3);
        steps.add(
            step.length < 3
                ? new NamedRun.Step(Long.parseLong(step[0]), null, 0)
                : new NamedRun.Step(Long.parseLong(step[0]), step[2], Integer.parseInt(step[1])));
      }
      return new NamedRun(
          Integer.parseInt(times[1]), start, steps, Long.parseLong(times[3]));
    }

    /** Numbers, with a word before each. */
    private String[] numbers() {
      return after("  ").split(" ");
    }

    private String after(String start) {
      return lines[at++].substring(start.length());
    }
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
