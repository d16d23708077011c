package stoplog.checker.certificate;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
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
  private final Claim whole;
  private final Controller controller;
  private final Certificate certificate;
  private final Patience patience;
  private final Known known;
  private final List<Watch> watches = new ArrayList<>();
  private final BitSet visible = new BitSet();
  private final BitSet watched = new BitSet();
  private final int mostDue;
  private final Step powered;
  private final Map<List<Integer>, Facts> facts = new HashMap<>();
  private final Map<List<Integer>, List<Place>> set = new LinkedHashMap<>();
  private long checked;

  /** A clock that can be read exactly. */
  private record Watch(String name, Step running, @Nullable Bound limit, int modelClock) {}

  /** What follows from the values of a state: the clocks that run, and whether scans are possible. */
  private record Facts(List<Watch> running, boolean powered) {}

  /** The states of the set with the same values and counts. */
  private record Place(int due, int faults, List<Watch> running, List<PlainZone> zones) {}

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
    this.whole = whole;
    this.controller = model.controller();
    this.certificate = certificate;
    this.patience = patience;
    this.mostDue = controller.reactionQuanta() == 0 ? controller.coincident() : 1;
    this.known = new Known(model, claim, certificate);
    this.powered = Step.of(known).toValueOf(controller.powered());
  }

  /** Checks it against the plant. */
  public static Outcome check(Model model, Certificate certificate, Patience patience) {
    if (!certificate.fingerprint().equals(Fingerprint.of(model))) {
      return new Outcome.IsRefused("it was made for another plant, or for another version of this one");
    }
    for (Claim c : model.claims()) {
      if (c.id().equals(certificate.claim())) {
        return c.kind() == Claim.Kind.ALWAYS_CAN
            ? new Outcome.IsRefused(
                "it speaks of what can be reached, and " + c.id() + " of what always can")
            : certificate.cases().isEmpty()
                ? check(model, c, c, certificate, patience)
                : byCases(model, c, certificate.cases(), patience);
      }
    }
    return new Outcome.IsRefused("the plant has no claim " + certificate.claim());
  }

  private static Outcome byCases(
      Model model, Claim claim, List<Certificate> certificates, Patience patience) {
    List<Claim> cases = Cases.of(model, claim);
    if (cases.size() != certificates.size()) {
      return new Outcome.IsRefused("it proves other cases than the claim has");
    }
    for (int i = 0; i < cases.size(); i++) {
      Outcome outcome = check(model, cases.get(i), claim, certificates.get(i), patience);
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
      checker.whatIsWatched();
      checker.readSet();
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

  // What the model says, as far as the known variables go

  private void whatIsWatched() {
    for (Assignment m : claim.monitors()) {
      Refused.unless(known.kept.contains(m.variable()), "it does not keep what the claim remembers");
    }
    BitSet assigned = new BitSet();
    for (Assignment a : controller.program()) {
      BitSet read = reads(a.value());
      read.andNot(assigned);
      visible.or(read);
      assigned.set(a.variable());
    }
    model.start().forEach(a -> watched.or(reads(a.value())));
    model.reactions().forEach(a -> watched.or(reads(a.value())));
    for (FieldChange c : model.changes()) {
      watched.or(reads(c.guard()));
      c.effects().forEach(a -> watched.or(reads(a.value())));
    }
    model.clocks().forEach(c -> watched.or(reads(c.running())));
    watched.or(reads(controller.powered()));
    // What the controller watches does not depend on the case.
    watched.or(reads(whole.condition()));
    claim.monitors().forEach(a -> watched.or(reads(a.value())));
    watched.and(assigned);
    watched.or(visible);
  }

  private BitSet reads(Expr e) {
    return Expr.variables(e, model.definitions());
  }

  /** Whether the expression has one value in each state of the set. */
  private boolean isKnown(Expr e, Step value, Set<List<Integer>> states) {
    BitSet unknown = reads(e);
    unknown.andNot(known.exact);
    return unknown.isEmpty() && states.stream().allMatch(s -> value.from(s, this::press).size() <= 1);
  }

  private Facts facts(List<Integer> told) {
    return facts.computeIfAbsent(
        told,
        t ->
            new Facts(
                watches.stream().filter(w -> mayBe(w.running(), t)).toList(), mayBe(powered, t)));
  }

  private boolean mayBe(Step value, List<Integer> told) {
    return value.from(told, this::press).contains(List.of(1));
  }

  /** The clocks that run, a due scan's among them. */
  private List<Watch> running(List<Integer> told, int due) {
    List<Watch> running = facts(told).running();
    if (due == 0) {
      return running;
    }
    var withScan = new ArrayList<>(running);
    withScan.add(
        new Watch(Certificate.Bound.DUE, powered, Bound.at(controller.reactionQuanta()), -1));
    return withScan;
  }

  // The set of states

  private void readSet() {
    for (Certificate.State s : certificate.states()) {
      Refused.unless(
          s.values().size() == known.kept.size() && s.groups().size() == known.groups.size(),
          "a state gives too few or too many values");
      for (int i = 0; i < known.kept.size(); i++) {
        Refused.unless(
            s.values().get(i) >= 0 && s.values().get(i) < model.variable(known.kept.get(i)).size(),
            "a state gives " + certificate.keeps().get(i) + " a value it cannot have");
      }
      set.put(Known.told(s), new ArrayList<>());
    }
    Set<List<Integer>> states = set.keySet();
    for (Clock c : model.clocks()) {
      Step running = Step.of(known).toValueOf(c.running());
      if (isKnown(c.running(), running, states)) {
        watches.add(new Watch(c.name(), running, attained(c.limit()), c.id()));
      }
    }
    Step condition = Step.of(known).toValueOf(claim.condition());
    Refused.unless(
        isKnown(claim.condition(), condition, states), "it does not keep all that the claim speaks of");
    Refused.unless(
        !certificate.due() || isKnown(controller.powered(), powered, states),
        "it does not keep what tells whether the controller has power");
    watches.add(new Watch(Certificate.Bound.CONDITION, condition, null, -1));
    certificate.states().forEach(this::readState);
  }

  /** A clock starts at 0, so one with the open limit 0 is there already: no time passes, but steps happen. */
  private static @Nullable Bound attained(@Nullable Bound limit) {
    return limit != null && limit.quanta() == 0 ? Bound.at(0) : limit;
  }

  private void readState(Certificate.State s) {
    press();
    List<Integer> told = Known.told(s);
    List<Watch> running = running(told, s.due());
    PlainZone zone = PlainZone.any(running.size());
    for (Certificate.Bound b : s.bounds()) {
      // Sums of larger numbers would overflow.
      Refused.unless(
          Math.abs(b.quanta() / 2) <= Bound.MAX_QUANTA, "it has a bound beyond any time of a plant");
      zone = zone.and(place(running, b.upper()), place(running, b.lower()), b.quanta(), b.attained());
    }
    Refused.unless(!zone.isEmpty(), "a state has bounds that contradict each other");
    int condition = placeOrNone(running, Certificate.Bound.CONDITION);
    if (condition > 0) {
      PlainZone broken = zone.and(0, condition, -claim.forQuanta(), false);
      Refused.unless(broken.isEmpty(), "it holds a state that breaks the claim");
    }
    Place place = placeOf(told, s.due(), s.faults());
    if (place == null) {
      place = new Place(s.due(), s.faults(), running, new ArrayList<>());
      set.getOrDefault(told, new ArrayList<>()).add(place);
    }
    place.zones().add(zone);
  }

  private @Nullable Place placeOf(List<Integer> told, int due, int faults) {
    for (Place p : set.getOrDefault(told, List.of())) {
      if (p.due() == due && p.faults() == faults) {
        return p;
      }
    }
    return null;
  }

  private static int place(List<Watch> running, String name) {
    int found = placeOrNone(running, name);
    Refused.unless(found >= 0, "a state bounds " + name + ", which does not run there");
    return found;
  }

  private static int placeOrNone(List<Watch> running, String name) {
    if (name.equals(Certificate.Bound.ZERO)) {
      return 0;
    }
    for (int i = 0; i < running.size(); i++) {
      if (running.get(i).name().equals(name)) {
        return i + 1;
      }
    }
    return -1;
  }

  /** Lets time pass, and asks that the outcome lies in the set. */
  private void demand(
      PlainZone zone, List<Watch> running, List<Integer> told, int due, int faults, String what) {
    PlainZone now = due > 0 && controller.reactionQuanta() == 0 ? zone : zone.later();
    for (int i = 0; i < running.size(); i++) {
      Bound limit = running.get(i).limit();
      if (limit != null) {
        now = now.and(i + 1, 0, limit.quanta(), limit.closed());
      }
    }
    if (now.isEmpty()) {
      return;
    }
    Place place = placeOf(told, due, faults);
    for (PlainZone z : place == null ? List.<PlainZone>of() : place.zones()) {
      if (now.isWithin(z)) {
        return;
      }
    }
    throw new Refused("it is not closed: " + what + " leads out of it");
  }

  // Starts and steps

  private void follow() {
    for (List<Integer> told : then(Step.start(known).assign(model.start())).from(List.of(), this::press)) {
      int due = scansCount() && facts(told).powered() ? 1 : 0;
      List<Watch> running = running(told, due);
      demand(PlainZone.zeros(running.size()), running, told, due, 0, "a start");
    }
    List<Way> ways = ways();
    set.forEach(
        (told, places) -> {
          for (Way way : ways) {
            Set<List<Integer>> outcomes = way.step().from(told, this::press);
            for (Place place : places) {
              outcomes.forEach(after -> take(way, told, place, after));
            }
          }
          checked += places.stream().mapToInt(p -> p.zones().size()).sum();
        });
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
      Step step = then(Step.of(known).when(controller.powered()).assign(controller.program()));
      ways.add(new Way("a scan", step, null, false, true));
    }
    return ways;
  }

  /** What follows the assignments of every step. */
  private Step then(Step step) {
    return step.assign(model.reactions()).assign(claim.monitors()).toState();
  }

  private void take(Way way, List<Integer> told, Place place, List<Integer> after) {
    int due = way.scan() ? dueAfterScan(told, after) : dueAfterChange(told, place, after);
    int faults = place.faults() + (way.fault() ? 1 : 0);
    // A step that changes nothing stops no clock and starts none: what time may bring after it is what
    // it might have brought without it. Another scan due starts its clock anew, so that is no staying.
    boolean stays =
        due == place.due() && faults == place.faults() && after.equals(told)
            && !(way.scan() && due > 0);
    boolean happens = way.scan() ? mayScan(place) : !mustScanFirst(told, place, after);
    if (stays || !happens || faults > claim.faultBudget()) {
      return;
    }
    List<Watch> running = running(after, due);
    var from = new int[running.size()];
    for (int i = 0; i < from.length; i++) {
      Watch w = running.get(i);
      boolean afresh = way.scan() && w.name().equals(Certificate.Bound.DUE);
      from[i] = afresh ? 0 : Math.max(0, placeOrNone(place.running(), w.name()));
    }
    for (PlainZone zone : place.zones()) {
      PlainZone within = happening(zone, place.running(), way.timing());
      if (within != null) {
        demand(within.taking(from), running, after, due, faults, way.text());
      }
    }
  }

  /** The readings at which the change can happen; null if there are none, or its clock does not run. */
  private @Nullable PlainZone happening(
      PlainZone zone, List<Watch> running, FieldChange.@Nullable Timing timing) {
    if (timing == null || watches.stream().noneMatch(w -> w.modelClock() == timing.clock())) {
      return zone;
    }
    for (int i = 0; i < running.size(); i++) {
      if (running.get(i).modelClock() == timing.clock()) {
        Bound e = timing.earliest();
        PlainZone within = zone.and(0, i + 1, -e.quanta(), e.closed());
        Bound l = timing.latest();
        within = l == null ? within : within.and(i + 1, 0, l.quanta(), l.closed());
        return within.isEmpty() ? null : within;
      }
    }
    return null;
  }

  /** Unknown changes ask for scans too: only if all that is watched is kept does due tell everything. */
  private boolean mayScan(Place place) {
    BitSet unseen = (BitSet) watched.clone();
    unseen.andNot(known.constants);
    known.kept.forEach(unseen::clear);
    return place.due() > 0 || !certificate.due() || !unseen.isEmpty();
  }

  private boolean mustScanFirst(List<Integer> told, Place place, List<Integer> after) {
    return certificate.due()
        && controller.reactionQuanta() == 0
        && place.due() == controller.coincident()
        && differs(told, after, watched)
        && facts(after).powered();
  }

  private int dueAfterChange(List<Integer> told, Place place, List<Integer> after) {
    if (!scansCount() || !facts(after).powered()) {
      return 0;
    }
    if (!facts(told).powered()) {
      return 1;
    }
    return differs(told, after, watched) ? Math.min(place.due() + 1, mostDue) : place.due();
  }

  private int dueAfterScan(List<Integer> told, List<Integer> after) {
    return scansCount() && differs(told, after, visible) && facts(after).powered() ? 1 : 0;
  }

  private boolean scansCount() {
    return certificate.due() && !controller.program().isEmpty();
  }

  private boolean differs(List<Integer> before, List<Integer> after, BitSet among) {
    for (int i = 0; i < known.kept.size(); i++) {
      if (among.get(known.kept.get(i)) && !before.get(i).equals(after.get(i))) {
        return true;
      }
    }
    // A group does not turn over unless one of its members does.
    for (int g = 0; g < known.groups.size(); g++) {
      int at = known.kept.size() + g;
      if (!before.get(at).equals(after.get(at))
          && known.groups.get(g).members().stream().allMatch(m -> among.get(m.variable()))) {
        return true;
      }
    }
    return false;
  }
}
