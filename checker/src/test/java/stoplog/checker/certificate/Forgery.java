package stoplog.checker.certificate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;

import java.util.List;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.model.Model;

/** A small plant with one claim, H-1, and certificates for it written by hand. */
abstract class Forgery {
  final ModelBuilder m = new ModelBuilder("plant");

  /** A state of these values, with nothing due and no fault. */
  static Certificate.State state(Integer... values) {
    return due(0, values);
  }

  static Certificate.State due(int due, Integer... values) {
    return new Certificate.State(List.of(values), List.of(), due, 0, List.of());
  }

  static Certificate.State faulty(int faults, Integer... values) {
    return new Certificate.State(List.of(values), List.of(), 0, faults, List.of());
  }

  /** The same state with bounds. */
  static Certificate.State within(Certificate.State s, Certificate.Bound... bounds) {
    return new Certificate.State(s.values(), s.groups(), s.due(), s.faults(), List.of(bounds));
  }

  /** The clock reads no more than this. */
  static Certificate.Bound upTo(String clock, long quanta) {
    return new Certificate.Bound(clock, Certificate.Bound.ZERO, quanta, true);
  }

  /** The clock reads less than this. */
  static Certificate.Bound below(String clock, long quanta) {
    return new Certificate.Bound(clock, Certificate.Bound.ZERO, quanta, false);
  }

  /** The first clock reads at most so much more than the second. */
  static Certificate.Bound ahead(String clock, String other, long quanta) {
    return new Certificate.Bound(clock, other, quanta, true);
  }

  /** A certificate that tells how many changes wait for a scan. */
  static Certificate tellingDue(Model model, List<String> keeps, Certificate.State... states) {
    return certificate(model, keeps, List.of(), true, states);
  }

  static Certificate of(Model model, List<String> keeps, Certificate.State... states) {
    return certificate(model, keeps, List.of(), false, states);
  }

  static Certificate certificate(
      Model model,
      List<String> keeps,
      List<Certificate.Group> groups,
      boolean due,
      Certificate.State... states) {
    return new Certificate(
        model.name(), Fingerprint.of(model), "H-1", keeps, List.of(), groups, due, List.of(states));
  }

  static void assertRefused(String why, Model model, Certificate certificate) {
    assertEquals(why, CertificateChecker.refusal(model, certificate));
  }

  /** What it says leads from a state of the certificate to one that it lacks. */
  static void assertLeadsOut(String step, Model model, Certificate certificate) {
    assertRefused("it is not closed: " + step + " leads out of it", model, certificate);
  }

  static void assertStands(Model model, Certificate certificate) {
    assertNull(CertificateChecker.refusal(model, certificate));
  }
}
