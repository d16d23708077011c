package stoplog.checker.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;
import stoplog.checker.abstraction.Grounds;
import stoplog.checker.abstraction.Precedent;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.evidence.NamedRun;
import stoplog.checker.report.Given;
import stoplog.model.Verdict;

/**
 * Reads what {@link LedgerWriter} writes. It believes every line to be what it should be: what is read is
 * written again and compared. Fails with a {@link NumberFormatException} or an {@link
 * IndexOutOfBoundsException} where that cannot be.
 */
final class LedgerReader {
  private final String[] lines;
  private int at = 1;

  LedgerReader(String[] lines) {
    this.lines = lines;
  }

  Ledger ledger() {
    var ledger = new Ledger(after("made by "), after("plant "));
    while (at + 1 < lines.length) {
      String line = lines[at++];
      if (line.startsWith("proof ")) {
        ledger.put(line.substring("proof ".length()), proof());
      } else if (line.startsWith("deadline ")) {
        ledger.ofThePlant().put(line.substring("deadline ".length()), proof());
      } else if (line.startsWith("remedies ")) {
        ledger.put(line.substring("remedies ".length()), remedies());
      } else if (line.startsWith("undecided ")) {
        ledger.put(line.substring("undecided ".length()), attempt());
      } else {
        ledger.put(line.substring("run ".length()), found());
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

  private Ledger.Remedied remedies() {
    String question = after("  question sha256 ");
    var found = new ArrayList<String>();
    for (int left = Integer.parseInt(after("  found ")); left > 0; left--) {
      found.add(after("  "));
    }
    return new Ledger.Remedied(question, found);
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

  private static List<String> words(String text) {
    return text.isEmpty() ? List.of() : List.of(text.split(LedgerWriter.BETWEEN));
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
