package stoplog.checker.evidence;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.CertificateText;
import stoplog.checker.certificate.Fingerprint;
import stoplog.checker.certificate.Seal;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Variable;

/**
 * A run as a certificate: the text form of a trace, in the plant's own names. UTF-8 lines, the last of
 * which seals the ones before.
 *
 * <pre>
 * stoplog run 1
 * plant Marram Point water skid
 * model sha256 …
 * claim H-01
 * ticks 2 of 100000 us
 * start FV-101 is closed (0)
 * start P-201 is at rest (2)
 * 124 6.200 s change 17 FV-101 open
 * 124 6.200 s scan
 * end 130 6.500 s
 * seal sha256 …
 * </pre>
 *
 * <p>Each step begins with its time in ticks, so many of which are one quantum, the given number of
 * microseconds. The seconds and the names of changes are for readers; they follow from the rest, and a
 * text in which they do not is refused. A run proves nothing before it is replayed.
 */
public final class RunText {
  private static final String FIRST_LINE = "stoplog run 1";
  private static final BigDecimal MICROS = BigDecimal.valueOf(1_000_000);

  /**
   * A run that was read.
   *
   * @param claim what it is said to reach
   */
  public record Run(Claim claim, Trace trace) {}

  private RunText() {}

  /** Whether this is meant to be a run, rather than a proof. */
  public static boolean isOne(String text) {
    return text.startsWith("stoplog run ");
  }

  /** The text, ending with a line end. */
  public static String write(Model model, Claim claim, Trace trace) {
    var text = new StringBuilder();
    line(text, FIRST_LINE);
    line(text, "plant " + oneLine(model.name()));
    line(text, "model sha256 " + Fingerprint.of(model));
    line(text, "claim " + claim.id());
    line(text, "ticks " + trace.ticksPerQuantum() + " of " + model.quantumMicros() + " us");
    for (int v = 0; v < trace.start().size(); v++) {
      Variable variable = model.variable(v);
      line(text, start(variable, trace.start().get(v)));
    }
    for (Trace.Step s : trace.steps()) {
      String what =
          s.isScan()
              ? "scan"
              : "change " + s.change() + " " + oneLine(model.changes().get(s.change()).text());
      line(text, s.tick() + " " + seconds(model, trace, s.tick()) + " " + what);
    }
    line(text, "end " + trace.endTick() + " " + seconds(model, trace, trace.endTick()));
    return Seal.on(text.toString());
  }

  /** With the value's number, since two values may be called the same. */
  private static String start(Variable variable, int value) {
    return oneLine(
        "start " + variable.name() + " is " + variable.values().get(value) + " (" + value + ")");
  }

  /** A time of a run, rounded to the microsecond. */
  private static String seconds(Model model, Trace trace, long tick) {
    return BigDecimal.valueOf(tick)
            .multiply(BigDecimal.valueOf(model.quantumMicros()))
            .divide(BigDecimal.valueOf(trace.ticksPerQuantum()).multiply(MICROS), 6, RoundingMode.HALF_UP)
            .stripTrailingZeros()
            .toPlainString()
        + " s";
  }

  private static void line(StringBuilder text, String line) {
    text.append(line).append('\n');
  }

  private static String oneLine(String text) {
    return text.replace('\n', ' ').replace('\r', ' ');
  }

  /**
   * The run. Every run has one text: any other that says the same is refused.
   *
   * @throws CertificateText.Damaged with the reason if it is no run of this plant
   */
  public static Run read(Model model, String text) throws CertificateText.Damaged {
    String sealed = Seal.off(text);
    Run run;
    try {
      run = new Reader(model, sealed.split("\n", -1)).read();
    } catch (NumberFormatException | IndexOutOfBoundsException e) {
      throw new CertificateText.Damaged("it is sealed but does not read as a run");
    }
    if (!write(model, run.claim(), run.trace()).equals(text)) {
      throw new CertificateText.Damaged("it is not written as runs are");
    }
    return run;
  }

  private static final class Reader {
    private final Model model;
    private final String[] lines;
    private int at;

    Reader(Model model, String[] lines) {
      this.model = model;
      this.lines = lines;
    }

    Run read() throws CertificateText.Damaged {
      if (!lines[at++].equals(FIRST_LINE)) {
        throw new CertificateText.Damaged("it is of another version of Stoplog");
      }
      at++;
      if (!lines[at++].equals("model sha256 " + Fingerprint.of(model))) {
        throw new CertificateText.Damaged(
            "it was made for another plant, or for another version of this one");
      }
      Claim claim = claim(lines[at++].substring("claim ".length()));
      if (claim == null) {
        throw new CertificateText.Damaged("the plant has no claim of this name");
      }
      int ticks = Integer.parseInt(lines[at++].split(" ")[1]);
      if (ticks < 1) {
        throw new CertificateText.Damaged("there is less than one tick to the quantum");
      }
      var start = new ArrayList<Integer>();
      for (Variable v : model.variables()) {
        start.add(valueIn(v, lines[at++]));
      }
      var steps = new ArrayList<Trace.Step>();
      while (!lines[at].startsWith("end ")) {
        String[] words = lines[at++].split(" ");
        boolean scan = words[3].equals("scan");
        int change = scan ? Trace.Step.SCAN : Integer.parseInt(words[4]);
        if (!scan && (change < 0 || change >= model.changes().size())) {
          throw new CertificateText.Damaged("there is no field change " + change);
        }
        steps.add(new Trace.Step(Long.parseLong(words[0]), change));
      }
      return new Run(claim, new Trace(ticks, start, steps, Long.parseLong(lines[at].split(" ")[1])));
    }

    private @Nullable Claim claim(String id) {
      List<Claim> found = model.claims().stream().filter(c -> c.id().equals(id)).toList();
      return found.isEmpty() ? null : found.getFirst();
    }

    private static int valueIn(Variable v, String line) throws CertificateText.Damaged {
      for (int value = 0; value < v.size(); value++) {
        if (line.equals(start(v, value))) {
          return value;
        }
      }
      throw new CertificateText.Damaged("it does not say how " + v.name() + " starts");
    }
  }
}
