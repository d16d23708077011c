package stoplog.dsl.resolve;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Declaration;
import stoplog.source.Span;

/**
 * The faults that instruments and buttons can have, and what can be said of them behind {@code is}.
 *
 * <p>A transmitter or analyser that failed low or high stands at the end of its signal, and the
 * controller sees that: {@code bad}, otherwise {@code good}. One that is frozen, a contact that is
 * stuck and a broken wire look like any other reading.
 */
public final class QualityResolver {
  public static final String STUCK_ON = "stuck_on";
  public static final String STUCK_OFF = "stuck_off";
  public static final String WIRE_BROKEN = "wire_broken";
  public static final String FAILED_LOW = "failed_low";
  public static final String FAILED_HIGH = "failed_high";
  public static final String FROZEN = "frozen";
  public static final String STUCK = "stuck";
  private static final String GOOD = "good";
  private static final String BAD = "bad";
  private static final List<String> OUT_OF_SIGNAL = List.of(FAILED_LOW, FAILED_HIGH);

  /** The faults of a contact whose wiring is not stated. */
  public static final List<String> CONTACT = List.of(STUCK_ON, STUCK_OFF);

  private QualityResolver() {}

  /** The faults an instrument or button can have; none for anything else. */
  public static List<String> faults(Symbol s) {
    if (s instanceof Symbol.Switch w) {
      return w.normallyOpen() == null ? CONTACT : List.of(STUCK_ON, STUCK_OFF, WIRE_BROKEN);
    } else if (s instanceof Symbol.Feedback) {
      return CONTACT;
    } else if (s instanceof Symbol.Button) {
      return List.of(STUCK);
    }
    return isGauge(s) ? List.of(FAILED_LOW, FAILED_HIGH, FROZEN) : List.of();
  }

  static boolean hasQuality(Symbol s) {
    return !faults(s).isEmpty();
  }

  private static boolean isGauge(Symbol s) {
    return s instanceof Symbol.Transmitter || s instanceof Symbol.Analyser;
  }

  /** What may stand behind {@code is}. */
  static List<String> words(Symbol s) {
    if (!isGauge(s)) {
      return faults(s);
    }
    var words = new java.util.ArrayList<>(List.of(GOOD, BAD));
    words.addAll(faults(s));
    return words;
  }

  /** Whether the controller can see it. */
  static boolean isVisible(Symbol s, String word) {
    return isGauge(s) && !word.equals(FROZEN);
  }

  /** How to ask whether it is on or off; {@code null} if the word asks neither. */
  static @Nullable String plainly(Symbol s, String word) {
    return switch (word) {
      case "on", "true", "pressed", "made" -> isGauge(s) ? null : "`" + s.name() + "`";
      case "off", "false", "released", "dropped" -> isGauge(s) ? null : "`not " + s.name() + "`";
      default -> null;
    };
  }

  static Term term(Symbol s, String word, Span span) {
    return switch (word) {
      case GOOD -> new Term.Not(new Term.Faulty(s, OUT_OF_SIGNAL, span), span);
      case BAD -> new Term.Faulty(s, OUT_OF_SIGNAL, span);
      default -> new Term.Faulty(s, List.of(word), span);
    };
  }

  static String visibleInstead(Symbol s) {
    return isGauge(s)
        ? "`" + s.name() + " is bad` says that it failed low or high; a frozen one cannot be seen"
        : "a second instrument, compared with this one";
  }

  /** The symbol of a switch; a wiring that is none is told and left out. */
  static Symbol.Switch wired(Declaration.Switch s, List<Diagnostic> diagnostics) {
    Boolean open = null;
    if (s.normally() != null) {
      String word = s.normally().text();
      if (word.equals("open") || word.equals("closed")) {
        open = word.equals("open");
      } else {
        diagnostics.add(
            Diagnostic.of(
                    Code.UNKNOWN_STATE,
                    s.normally().span(),
                    "the contact of " + s.tag() + " is never `normally " + word + "`")
                .withLabel("can be normally open or normally closed"));
      }
    }
    return new Symbol.Switch(s.tag(), s.text(), open);
  }
}
