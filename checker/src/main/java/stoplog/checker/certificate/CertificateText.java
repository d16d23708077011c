package stoplog.checker.certificate;

import java.util.ArrayList;
import java.util.List;

/**
 * The text form of a certificate: UTF-8 lines, the last of which seals the ones before.
 *
 * <pre>
 * stoplog proof 2
 * plant Marram Point water skid
 * model sha256 …
 * claim H-01
 * keeps FV-101 P-201
 * follows P-201.trip1
 * group 1 ALARM-1.latch=1 ALARM-2.state=1,2
 * scans counted
 * state 0 2 group 1 due 0 faults 0
 *   P-201.starting - 0 <= 15000
 *   0 - P-201.starting < -10
 * seal sha256 …
 * </pre>
 *
 * <p>Where a claim is proved case by case, what follows after its label stands once for each, after a
 * line that says {@code case}.
 *
 * <p>A group is so many of the members that follow, each with the values that count. Names of clocks
 * may hold spaces, so a bound is parted by {@code " - "} and its comparison sign.
 * The seal guards against damage, not against forgery: a forged certificate has to convince {@link
 * CertificateChecker}, and one that does is a proof.
 */
public final class CertificateText {
  private static final String FIRST_LINE = "stoplog proof 2";
  private static final String CASE = "case";

  /** The text is no whole certificate; the message is a sentence without full stop. */
  public static final class Damaged extends Exception {
    private static final long serialVersionUID = 1;

    public Damaged(String message) {
      super(message);
    }
  }

  private CertificateText() {}

  /** The text, ending with a line end. */
  public static String write(Certificate c) {
    var text = new StringBuilder();
    line(text, FIRST_LINE);
    line(text, "plant " + c.plant().replace('\n', ' ').replace('\r', ' '));
    line(text, "model sha256 " + c.fingerprint());
    line(text, "claim " + c.claim());
    if (c.cases().isEmpty()) {
      set(text, c);
    }
    for (Certificate one : c.cases()) {
      line(text, CASE);
      set(text, one);
    }
    return Seal.on(text.toString());
  }

  private static void set(StringBuilder text, Certificate c) {
    line(text, "keeps" + words(c.keeps()));
    line(text, "follows" + words(c.follows()));
    for (Certificate.Group g : c.groups()) {
      var members = g.members().stream().map(m -> m.variable() + "=" + numbers(m.values()));
      line(text, "group " + g.atLeast() + words(members.toList()));
    }
    line(text, c.due() ? "scans counted" : "scans at any time");
    for (Certificate.State s : c.states()) {
      String values = words(s.values());
      for (boolean group : s.groups()) {
        values += " group " + (group ? 1 : 0);
      }
      line(text, "state" + values + " due " + s.due() + " faults " + s.faults());
      for (Certificate.Bound b : s.bounds()) {
        line(
            text,
            "  " + b.upper() + " - " + b.lower() + (b.attained() ? " <= " : " < ") + b.quanta());
      }
    }
  }

  private static void line(StringBuilder text, String line) {
    text.append(line).append('\n');
  }

  private static String words(List<?> things) {
    var text = new StringBuilder();
    things.forEach(t -> text.append(' ').append(t));
    return text.toString();
  }

  private static String numbers(long set) {
    var numbers = new ArrayList<String>();
    for (int v = 0; v < Long.SIZE; v++) {
      if ((set >>> v & 1) == 1) {
        numbers.add(Integer.toString(v));
      }
    }
    return String.join(",", numbers);
  }

  /** The certificate. Every certificate has one text: any other that says the same is refused. */
  public static Certificate read(String text) throws Damaged {
    String sealed = Seal.off(text);
    try {
      Certificate read = new Reader(sealed.split("\n", -1)).read();
      if (!write(read).equals(text)) {
        throw new Damaged("it is not written as certificates are");
      }
      return read;
    } catch (NumberFormatException | IndexOutOfBoundsException e) {
      throw new Damaged("it is sealed but does not read as a certificate");
    }
  }

  private static final class Reader {
    private final String[] lines;
    private int at;

    Reader(String[] lines) {
      this.lines = lines;
    }

    Certificate read() throws Damaged {
      if (!lines[at++].equals(FIRST_LINE)) {
        throw new Damaged("it is of another version of Stoplog");
      }
      String plant = after("plant ");
      String fingerprint = after("model sha256 ");
      String claim = after("claim ");
      if (!lines[at].equals(CASE)) {
        return set(plant, fingerprint, claim);
      }
      var cases = new ArrayList<Certificate>();
      while (at < lines.length - 1) {
        after(CASE);
        cases.add(set(plant, fingerprint, claim));
      }
      return Certificate.of(cases);
    }

    private Certificate set(String plant, String fingerprint, String claim) throws Damaged {
      List<String> keeps = list(after("keeps"));
      List<String> follows = list(after("follows"));
      var groups = new ArrayList<Certificate.Group>();
      while (lines[at].startsWith("group ")) {
        groups.add(group(list(after("group "))));
      }
      boolean due = after("scans ").equals("counted");
      var states = new ArrayList<Certificate.State>();
      while (at < lines.length - 1 && !lines[at].equals(CASE)) {
        states.add(state(keeps.size(), groups.size()));
      }
      return new Certificate(plant, fingerprint, claim, keeps, follows, groups, due, states);
    }

    private static Certificate.Group group(List<String> words) {
      var members = new ArrayList<Certificate.Member>();
      for (String word : words.subList(1, words.size())) {
        int equals = word.lastIndexOf('=');
        long set = 0;
        for (String value : word.substring(equals + 1).split(",")) {
          set |= 1L << Integer.parseInt(value);
        }
        members.add(new Certificate.Member(word.substring(0, equals), set));
      }
      return new Certificate.Group(Integer.parseInt(words.getFirst()), members);
    }

    private Certificate.State state(int count, int groupCount) throws Damaged {
      List<String> words = list(after("state"));
      var values = new ArrayList<Integer>();
      for (int i = 0; i < count; i++) {
        values.add(Integer.parseInt(words.get(i)));
      }
      var groups = new ArrayList<Boolean>();
      for (int i = 0; i < groupCount; i++) {
        groups.add(words.get(count + 1 + 2 * i).equals("1"));
      }
      int after = count + 2 * groupCount;
      int due = Integer.parseInt(words.get(after + 1));
      int faults = Integer.parseInt(words.get(after + 3));
      var bounds = new ArrayList<Certificate.Bound>();
      while (lines[at].startsWith("  ")) {
        bounds.add(bound(lines[at++].substring(2)));
      }
      return new Certificate.State(values, groups, due, faults, bounds);
    }

    private static Certificate.Bound bound(String line) throws Damaged {
      int number = line.lastIndexOf(' ');
      int sign = line.lastIndexOf(' ', number - 1);
      int minus = line.indexOf(" - ");
      if (sign < 0 || minus < 0 || minus > sign) {
        throw new Damaged("it has a bound that does not read as one");
      }
      return new Certificate.Bound(
          line.substring(0, minus),
          line.substring(minus + 3, sign),
          Long.parseLong(line.substring(number + 1)),
          line.substring(sign + 1, number).equals("<="));
    }

    private String after(String start) throws Damaged {
      String line = lines[at++];
      if (!line.startsWith(start)) {
        throw new Damaged("line " + at + " does not begin with '" + start.strip() + "'");
      }
      return line.substring(start.length());
    }

    private static List<String> list(String words) {
      return words.isBlank() ? List.of() : List.of(words.strip().split(" "));
    }
  }
}
