package stoplog.checker.certificate;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.StateSet.Place;
import stoplog.checker.certificate.Watches.Watch;
import stoplog.model.Claim;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Checks a certificate: every start lies in its set, with the time that may pass after it; so does
 * whatever a step of a state of the set leads to, with the time that may pass after the step; no state
 * of the set breaks the claim. Then no run breaks it, whoever made the certificate.
 *
 * <p>Variables that the certificate does not keep are unknown before every step and may have any
 * value that leaves the groups of the certificate as its state tells. Clocks whose conditions have one
 * value in each state, whatever the unknown is, are read exactly; other clocks say nothing: their
 * windows are taken to be open and their deadlines not to press. A scan may come when one is due, and
 * at any time if anything is unknown. Every run of the plant is among the runs so described.
 *
 * <p>Field changes that assign nothing kept can still let the reactions to them do so. They are looked
 * at as one step that may always happen and does not assign anything known.
 *
 * <p>Time is proportional to states times field changes that assign something kept times the ways to
 * choose unknown values that more than one result reads.
 */
public final class CertificateChecker {
  private final Model model;
  private final Claim claim;
  private final Controller controller;
  private final Certificate certificate;
  private final Patience patience;
  private final Known known;
  private final StateSet set;
  private final Watches watches;
  private final Scans scans;
  private final Expr remembered;
  private long checked;

  /** A step and how it counts; not a scan if there is a change. */
  private record Way(
      String text, Step step, FieldChange.@Nullable Timing timing, boolean fault, boolean scan) {}

  /** Thrown when there is no time left. */
  private static final class Impatient extends RuntimeException {
    private static final long serialVersionUID = 1;

    Impatient() {
      super(null, null, false, false);
    }
  }

  /** What came of a check. */
  public sealed interface Outcome {
    /** The certificate proves its claim for the plant. */
    record Stands() implements Outcome {}

    /** @param why a sentence without full stop */
    record IsRefused(String why) implements Outcome {}

    /** Patience was at an end. */
    record NotChecked() implements Outcome {}
  }

  /** @param whole the claim of the plant of which {@code claim} is a case, or is all */
  private CertificateChecker(
      Model model, Claim claim, Claim whole, Certificate certificate, Patience patience) {
    this.model = model;
    this.claim = claim;
    this.controller = model.controller();
    this.certificate = certificate;
    this.patience = patience;
    this.known = new Known(model, claim, certificate);
    this.set = new StateSet(known, certificate);
    this.watches = new Watches(known, claim, certificate.due(), set.told(), this::press);
    this.scans = new Scans(known, claim, whole, certificate.due(), watches);
    this.remembered = Cases.remembered(whole, claim);
  }

  /** Checks it against the plant. */
  public static Outcome check(Model model, Certificate certificate, Patience patience) {
    String misfit = misfit(model, certificate);
    if (misfit != null) {
      return new Outcome.IsRefused(misfit);
    }
    Claim claim = model.claim(certificate.claim());
    return certificate.cases().isEmpty()
        ? check(model, claim, claim, certificate, patience)
        : byCases(model, claim, certificate.cases(), patience);
  }

  /**
   * Why a certificate cannot belong to the plant, or null: whether it proves anything is not looked at.
   * If null, the plant has its claim and, as long as nobody forged it, all it speaks of.
   */
  public static @Nullable String misfit(Model model, Certificate certificate) {
    if (!certificate.fingerprint().equals(Fingerprint.of(model))) {
      return "it was made for another plant, or for another version of this one";
    }
    if (model.claims().stream().noneMatch(c -> c.id().equals(certificate.claim()))) {
      return "the plant has no claim " + certificate.claim();
    }
    return model.claim(certificate.claim()).kind() == Claim.Kind.ALWAYS_CAN
        ? "it speaks of what can be reached, and " + certificate.claim() + " of what always can"
        : null;
  }

  private static Outcome byCases(
      Model model, Claim claim, List<Certificate> certificates, Patience patience) {
    List<Cases> cases = Cases.of(model, claim);
    if (cases.size() != certificates.size()) {
      return new Outcome.IsRefused("it proves other cases than the claim has");
    }
    for (int i = 0; i < cases.size(); i++) {
      Cases one = cases.get(i);
      Outcome outcome = check(one.model(), one.claim(), claim, certificates.get(i), patience);
      if (!(outcome instanceof Outcome.Stands)) {
        return outcome;
      }
    }
    return new Outcome.Stands();
  }

  /**
   * @return null if the certificate proves the claim for this plant, else why not
   */
  public static @Nullable String refusal(Model model, Certificate certificate) {
    return check(model, certificate, Patience.ENDLESS) instanceof Outcome.IsRefused(String why)
        ? why
        : null;
  }

  /** As {@link #check(Model, Certificate, Patience)}, without comparing fingerprints. */
  private static Outcome check(
      Model model, Claim claim, Claim whole, Certificate certificate, Patience patience) {
    try {
      var checker = new CertificateChecker(model, claim, whole, certificate, patience);
      checker.read();
      checker.follow();
      return new Outcome.Stands();
    } catch (Refused e) {
      return new Outcome.IsRefused(String.valueOf(e.getMessage()));
    } catch (Impatient _) {
      return new Outcome.NotChecked();
    }
  }

  private void press() {
    if (!patience.lasts(checked, certificate.states().size())) {
      throw new Impatient();
    }
  }

  private void read() {
    for (Certificate.State s : certificate.states()) {
      press();
      set.read(s, claim, watches);
    }
  }

  private void follow() {
    for (List<Integer> told : then(Step.start(known).assign(model.start())).from(List.of(), this::press)) {
      int due = scans.dueAtStart(told);
      List<Watch> running = watches.running(told, due);
      set.demand(PlainZone.zeros(running.size()), running, told, due, 0, "a start");
    }
    List<Way> ways = ways();
    for (List<Integer> told : set.told()) {
      List<Place> places = set.at(told);
      for (Way way : ways) {
        Set<List<Integer>> outcomes = way.step().from(told, this::press);
        for (Place place : places) {
          outcomes.forEach(after -> take(way, told, place, after));
        }
      }
      checked += places.stream().mapToInt(p -> p.zones().size()).sum();
    }
  }

  /** All that may happen. */
  private List<Way> ways() {
    var ways = new ArrayList<Way>();
    boolean elsewhere = false;
    for (FieldChange c : model.changes()) {
      boolean bears =
          c.effects().isEmpty()
              || c.effects().stream().anyMatch(a -> known.exact.get(a.variable()));
      if (claim.admits(c) && bears) {
        Step step = then(Step.of(known).when(c.guard()).assign(c.effects()));
        boolean fault = c.cause() == FieldChange.Cause.FAULT;
        ways.add(new Way(c.text(), step, c.timing(), fault, false));
      }
      // A fault among unknown variables is not counted: a set that counts fewer holds more runs.
      elsewhere |= claim.admits(c) && !bears;
    }
    if (elsewhere) {
      Step step = then(Step.of(known));
      ways.add(new Way("something that it does not keep", step, null, false, false));
    }
    if (!controller.program().isEmpty()) {
      Step may = Step.of(known).when(controller.powered()).when(remembered);
      Step step = then(may.assign(controller.program()));
      ways.add(new Way("a scan", step, null, false, true));
    }
    return ways;
  }

  /** What follows the assignments of every step. */
  private Step then(Step step) {
    return step.assign(model.reactions()).assign(claim.monitors()).toState();
  }

  private void take(Way way, List<Integer> told, Place place, List<Integer> after) {
    int due =
        way.scan()
            ? scans.dueAfterScan(told, after)
            : scans.dueAfterChange(told, place.due(), after);
    int faults = place.faults() + (way.fault() ? 1 : 0);
    // A step that changes nothing stops no clock and starts none: what time may bring after it is what
    // it might have brought without it. Another scan due starts its clock anew, so that is no staying.
    boolean stays =
        due == place.due() && faults == place.faults() && after.equals(told)
            && !(way.scan() && due > 0);
    boolean happens =
        way.scan() ? scans.mayCome(place.due()) : !scans.comeFirst(told, place.due(), after);
    if (stays || !happens || faults > claim.faultBudget()) {
      return;
    }
    List<Watch> running = watches.running(after, due);
    var from = new int[running.size()];
    for (int i = 0; i < from.length; i++) {
      Watch w = running.get(i);
      boolean afresh = way.scan() && w.name().equals(Certificate.Bound.DUE);
      from[i] = afresh ? 0 : Math.max(0, Watches.place(place.running(), w.name()));
    }
    for (PlainZone zone : place.zones()) {
      PlainZone within = watches.happening(zone, place.running(), way.timing());
      if (within != null) {
        set.demand(within.taking(from), running, after, due, faults, way.text());
      }
    }
  }
}
