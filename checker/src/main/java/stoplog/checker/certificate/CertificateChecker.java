package stoplog.checker.certificate;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Untouched;

/**
 * Checks a certificate: every start lies in its set, with the time that may pass after it; so does
 * whatever a step of a state of the set leads to, with the time that may pass after the step; no state
 * of the set breaks the claim. Then no run breaks it, whoever made the certificate.
 *
 * <p>Variables that the certificate does not keep are unknown before every step and may have any
 * value. Clocks whose conditions read kept variables only are read exactly; other clocks say nothing:
 * their windows are taken to be open and their deadlines not to press. A scan may come when one is due,
 * and at any time if anything is unknown. Every run of the plant is among the
 * runs so described.
 *
 * <p>Time is proportional to states times field changes times the ways to choose unknown values.
 */
public final class CertificateChecker {
  private final Model model;
  private final Claim claim;
  private final Controller controller;
  private final Certificate certificate;
  private final List<Integer> kept = new ArrayList<>();
  private final BitSet exact = new BitSet();
  private final List<Watch> watches = new ArrayList<>();
  private final BitSet visible = new BitSet();
  private final BitSet watched = new BitSet();
  private final int mostDue;
  private final Choices choices;

  /** What no step changes: as well known as what is kept. */
  private final BitSet constants;

  private final Map<Key, List<PlainZone>> set = new HashMap<>();

  /** A clock that can be read exactly. */
  private record Watch(String name, Expr running, @Nullable Bound limit, int modelClock) {}

  private record Key(List<Integer> values, int due, int faults) {}

  /** Thrown with the reason, a sentence without full stop. */
  private static final class Refused extends RuntimeException {
    Refused(String reason) {
      super(reason, null, false, false);
    }
  }

  private CertificateChecker(Model model, Claim claim, Certificate certificate) {
    this.model = model;
    this.claim = claim;
    this.controller = model.controller();
    this.certificate = certificate;
    this.mostDue = controller.reactionQuanta() == 0 ? controller.coincident() : 1;
    Map<String, Integer> index = model.indexByName();
    for (String name : certificate.keeps()) {
      kept.add(known(index, name));
      exact.set(known(index, name));
    }
    certificate.follows().forEach(name -> exact.set(known(index, name)));
    this.constants = Untouched.by(model, claim);
    exact.or(constants);
    this.choices = new Choices(model, exact, constants);
  }

  /**
   * @return null if the certificate proves the claim for this plant, else why not
   */
  public static @Nullable String refusal(Model model, Certificate certificate) {
    if (!certificate.fingerprint().equals(Fingerprint.of(model))) {
      return "it was made for another plant, or for another version of this one";
    }
    for (Claim c : model.claims()) {
      if (c.id().equals(certificate.claim())) {
        if (c.kind() == Claim.Kind.ALWAYS_CAN) {
          return "it speaks of what can be reached, and " + c.id() + " of what always can";
        }
        return refusal(model, c, certificate);
      }
    }
    return "the plant has no claim " + certificate.claim();
  }

  /** As {@link #refusal(Model, Certificate)}, without comparing fingerprints. */
  static @Nullable String refusal(Model model, Claim claim, Certificate certificate) {
    try {
      var checker = new CertificateChecker(model, claim, certificate);
      checker.prepare();
      checker.readSet();
      checker.starts();
      checker.steps();
      return null;
    } catch (Refused e) {
      return e.getMessage();
    }
  }

  private static int known(Map<String, Integer> index, String name) {
    Integer id = index.get(name);
    if (id == null) {
      throw new Refused("the plant has no variable " + name);
    }
    return id;
  }

  // What the model says, as far as the kept variables go

  private void prepare() {
    BitSet keptBits = new BitSet();
    kept.forEach(keptBits::set);
    keptBits.or(constants);
    for (Clock c : model.clocks()) {
      if (within(c.running(), keptBits)) {
        watches.add(new Watch(c.name(), c.running(), c.limit(), c.id()));
      }
    }
    require(within(claim.condition(), keptBits), "it does not keep all that the claim speaks of");
    for (Assignment m : claim.monitors()) {
      require(keptBits.get(m.variable()), "it does not keep what the claim remembers");
    }
    require(
        !certificate.due() || within(controller.powered(), keptBits),
        "it does not keep what tells whether the controller has power");
    watches.add(new Watch(Certificate.Bound.CONDITION, claim.condition(), null, -1));
    BitSet assigned = new BitSet();
    for (Assignment a : controller.program()) {
      BitSet read = reads(a.value());
      read.andNot(assigned);
      visible.or(read);
      assigned.set(a.variable());
    }
    watched.or(readOutsideProgram());
    watched.and(assigned);
    watched.or(visible);
  }

  private BitSet readOutsideProgram() {
    BitSet read = new BitSet();
    model.start().forEach(a -> read.or(reads(a.value())));
    model.reactions().forEach(a -> read.or(reads(a.value())));
    for (FieldChange c : model.changes()) {
      read.or(reads(c.guard()));
      c.effects().forEach(a -> read.or(reads(a.value())));
    }
    model.clocks().forEach(c -> read.or(reads(c.running())));
    read.or(reads(controller.powered()));
    read.or(reads(claim.condition()));
    claim.monitors().forEach(a -> read.or(reads(a.value())));
    return read;
  }

  private boolean within(Expr e, BitSet among) {
    BitSet read = reads(e);
    read.andNot(among);
    return read.isEmpty();
  }

  private BitSet reads(Expr e) {
    return Expr.variables(e, model.definitions());
  }

  // The set of states

  private void readSet() {
    for (Certificate.State s : certificate.states()) {
      require(s.values().size() == kept.size(), "a state gives too few or too many values");
      for (int i = 0; i < kept.size(); i++) {
        require(
            s.values().get(i) >= 0 && s.values().get(i) < model.variable(kept.get(i)).size(),
            "a state gives " + certificate.keeps().get(i) + " a value it cannot have");
      }
      recall(s.values());
      List<Watch> running = running(s.due());
      PlainZone zone = PlainZone.any(running.size());
      for (Certificate.Bound b : s.bounds()) {
        zone = zone.and(place(running, b.upper()), place(running, b.lower()), b.quanta(), b.attained());
      }
      require(!zone.isEmpty(), "a state has bounds that contradict each other");
      int condition = placeOrNone(running, Certificate.Bound.CONDITION);
      if (condition > 0) {
        PlainZone broken = zone.and(0, condition, -claim.forQuanta(), false);
        require(broken.isEmpty(), "it holds a state that breaks the claim");
      }
      set.computeIfAbsent(new Key(s.values(), s.due(), s.faults()), k -> new ArrayList<>())
          .add(zone);
    }
  }

  private static int place(List<Watch> running, String name) {
    int found = placeOrNone(running, name);
    require(found >= 0, "a state bounds " + name + ", which does not run there");
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

  private void recall(List<Integer> values) {
    choices.forget();
    for (int i = 0; i < kept.size(); i++) {
      choices.set(kept.get(i), values.get(i));
    }
  }

  /** The clocks that run in the values at hand, a due scan's among them. */
  private List<Watch> running(int due) {
    var running = new ArrayList<Watch>();
    for (Watch w : watches) {
      choices.when(w.running(), () -> running.add(w));
    }
    if (due > 0) {
      running.add(
          new Watch(
              Certificate.Bound.DUE, Expr.TRUE, Bound.at(controller.reactionQuanta()), -1));
    }
    return running;
  }

  /** Lets time pass, and asks that the outcome lies in the set. */
  private void demand(PlainZone zone, List<Watch> running, int due, int faults, String what) {
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
    List<Integer> values = kept.stream().map(choices::get).toList();
    for (PlainZone z : set.getOrDefault(new Key(values, due, faults), List.of())) {
      if (now.isWithin(z)) {
        return;
      }
    }
    throw new Refused("it is not closed: " + what + " leads out of it");
  }

  // Starts and steps

  private void starts() {
    choices.forget();
    start(0);
  }

  /** Chooses initial values of all variables that are exact; others stay unknown. */
  private void start(int variable) {
    if (variable < model.variables().size()) {
      if (exact.get(variable)) {
        long initial = model.variable(variable).initial();
        for (int v = 0; v < model.variable(variable).size(); v++) {
          if ((initial >>> v & 1) == 1) {
            choices.set(variable, v);
            start(variable + 1);
          }
        }
      } else {
        start(variable + 1);
      }
      return;
    }
    choices.assign(
        model.start(),
        () ->
            afterwards(
                () -> {
                  int due = scansCount() && powered() ? 1 : 0;
                  List<Watch> running = running(due);
                  demand(PlainZone.zeros(running.size()), running, due, 0, "a start");
                }));
  }

  private void steps() {
    for (Certificate.State s : certificate.states()) {
      for (FieldChange c : model.changes()) {
        change(s, c);
      }
      scan(s);
    }
  }

  /** What follows the assignments of every step. */
  private void afterwards(Choices.Continuation then) {
    choices.assign(model.reactions(), () -> choices.assign(claim.monitors(), then));
  }

  private void change(Certificate.State s, FieldChange c) {
    // A fault among unknown variables is not counted: a set that counts fewer holds more runs.
    boolean fault =
        c.cause() == FieldChange.Cause.FAULT
            && (c.effects().isEmpty()
                || c.effects().stream().anyMatch(a -> exact.get(a.variable())));
    if (!claim.admits(c) || (fault && s.faults() >= claim.faultBudget())) {
      return;
    }
    recall(s.values());
    List<Watch> before = running(s.due());
    PlainZone zone = happening(zoneOf(s, before), before, c.timing());
    if (zone == null) {
      return;
    }
    boolean poweredBefore = scansCount() && powered();
    choices.when(
        c.guard(),
        () ->
            choices.assign(
                c.effects(),
                () ->
                    afterwards(
                        () -> {
                          boolean seen = differs(s.values(), watched);
                          if (seen && mustScanFirst(s)) {
                            return;
                          }
                          int due = dueAfter(s.due(), seen, poweredBefore);
                          int faults = s.faults() + (fault ? 1 : 0);
                          if (!staysAsItWas(s, due, faults)) {
                            follow(zone, before, due, faults, false, c.text());
                          }
                        })));
  }

  private boolean mustScanFirst(Certificate.State s) {
    return certificate.due()
        && controller.reactionQuanta() == 0
        && s.due() == controller.coincident()
        && powered();
  }

  private int dueAfter(int before, boolean seen, boolean poweredBefore) {
    if (!scansCount() || !powered()) {
      return 0;
    }
    if (!poweredBefore) {
      return 1;
    }
    return seen ? Math.min(before + 1, mostDue) : before;
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

  private void scan(Certificate.State s) {
    recall(s.values());
    List<Watch> before = running(s.due());
    PlainZone zone = zoneOf(s, before);
    // Changes of unknown variables ask for scans too; only if all are known does due tell everything.
    boolean asked = s.due() > 0 || !certificate.due() || exact.cardinality() < model.variables().size();
    if (controller.program().isEmpty() || !asked) {
      return;
    }
    choices.when(
        controller.powered(),
        () ->
            choices.assign(
                controller.program(),
                () ->
                    afterwards(
                        () -> {
                          boolean another = differs(s.values(), visible);
                          int due = scansCount() && another && powered() ? 1 : 0;
                          // Another scan due starts its clock anew, so that is no staying.
                          if (due > 0 || !staysAsItWas(s, due, s.faults())) {
                            follow(zone, before, due, s.faults(), true, "a scan");
                          }
                        })));
  }

  private PlainZone zoneOf(Certificate.State s, List<Watch> running) {
    PlainZone zone = PlainZone.any(running.size());
    for (Certificate.Bound b : s.bounds()) {
      zone = zone.and(place(running, b.upper()), place(running, b.lower()), b.quanta(), b.attained());
    }
    return zone;
  }

  /**
   * Whether a step has changed nothing that is kept. Then no clock stops or starts either, and what
   * time may bring after it is what it might have brought without it, from the step before.
   */
  private boolean staysAsItWas(Certificate.State s, int due, int faults) {
    if (due != s.due() || faults != s.faults()) {
      return false;
    }
    for (int i = 0; i < kept.size(); i++) {
      if (s.values().get(i) != choices.get(kept.get(i))) {
        return false;
      }
    }
    return true;
  }

  private void follow(
      PlainZone zone, List<Watch> before, int due, int faults, boolean scan, String what) {
    List<Watch> after = running(due);
    var from = new ArrayList<Integer>();
    for (Watch w : after) {
      boolean afresh = scan && w.name().equals(Certificate.Bound.DUE);
      from.add(afresh ? 0 : Math.max(0, before.indexOf(w) + 1));
    }
    demand(zone.taking(from), after, due, faults, what);
  }

  private boolean scansCount() {
    return certificate.due() && !controller.program().isEmpty();
  }

  private boolean powered() {
    boolean[] may = new boolean[1];
    choices.when(controller.powered(), () -> may[0] = true);
    return may[0];
  }

  private boolean differs(List<Integer> before, BitSet among) {
    for (int i = 0; i < kept.size(); i++) {
      if (among.get(kept.get(i)) && before.get(i) != choices.get(kept.get(i))) {
        return true;
      }
    }
    return false;
  }

  private static void require(boolean holds, String otherwise) {
    if (!holds) {
      throw new Refused(otherwise);
    }
  }
}
