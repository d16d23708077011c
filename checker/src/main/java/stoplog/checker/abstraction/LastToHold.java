package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.List;
import java.util.function.BiFunction;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.Fingerprint;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Variable;
import stoplog.model.Verdict;
import stoplog.source.Span;

/**
 * A claim that none of several things is so for a time, as one claim for each of them that was so last: "the
 * pump runs for 3 s with no train lined up, after this train was the last". Each remembers whether, since
 * its own thing was so, none of the others has been; where none has been so yet, all of them do.
 *
 * <p><b>Why that is the same.</b> Let the condition be R and none of A1 to An. Case i asks whether R, not
 * Ai, and Li hold for as long, where Li is set by every step (and the start) to: Ai, or Li before and none
 * of the others; it begins set. Where Li holds and Ai does not, none of the others is so either, so the
 * condition of a case implies that of the claim. The other way round: where none of A1 to An is so, every
 * step leaves each Li as it was. So whatever holds at the first step of a time in which the claim's
 * condition holds does so at its last, and the cases cannot take turns. At the first, some Li holds: that
 * of any thing that was so when one last was, or every one of them if none was. The monitors read nothing
 * that the claim does not, so the controller watches the same, and nothing in the plant reads them.
 *
 * <p>What is gained is that a case names one thing only, and learns of the others no more than that they
 * were not last.
 */
final class LastToHold {
  private final Reads reads;
  private final Claim claim;
  private final Reads remembering;
  private final List<Claim> cases = new ArrayList<>();

  /** What each case remembers. */
  private final List<Variable> monitors = new ArrayList<>();

  private LastToHold(Reads reads, Claim claim, List<Expr> others, List<Expr> things) {
    this.reads = reads;
    this.claim = claim;
    things.forEach(thing -> add(others, thing, things));
    this.remembering = new Reads(extended(reads.model(), monitors));
  }

  /**
   * The cases of a claim; null if there is nothing to part, or if a run is wanted. Of several lists of
   * things none of which is to be so the longest is parted, of those the first. A list of single
   * variables' values is no such list: a {@link Group} tells as much.
   */
  static @Nullable LastToHold of(Reads reads, Claim claim) {
    boolean ofTimes =
        switch (claim.kind()) {
          case HAZARD, NEVER, RESPONSE -> claim.forQuanta() > 0;
          case CAN, ALWAYS_CAN -> false;
        };
    if (!ofTimes) {
      return null;
    }
    Model model = reads.model();
    var parts = new ArrayList<Expr>();
    conjuncts(model, claim.condition(), parts);
    List<Expr> things = List.of();
    Expr parted = null;
    for (Expr part : parts) {
      List<Expr> none = noneOf(model, part);
      if (none.size() > Math.max(1, things.size())
          && none.stream().anyMatch(thing -> reads.of(thing).cardinality() > 1)) {
        things = none;
        parted = part;
      }
    }
    if (parted == null) {
      return null;
    }
    parts.remove(parted);
    return new LastToHold(reads, claim, parts, things);
  }

  private void add(List<Expr> rest, Expr thing, List<Expr> things) {
    int id = reads.model().variables().size() + monitors.size();
    String name = claim.id() + ".last" + (monitors.size() + 1);
    monitors.add(new Variable(id, name, Role.MONITOR, List.of("no", "yes"), 2, "", Span.NONE));
    var others = new ArrayList<>(things);
    others.remove(thing);
    Expr last = new Expr.Read(id);
    var remembered = new ArrayList<>(claim.monitors());
    remembered.add(new Assignment(id, latch(thing, last, new Expr.Any(others))));
    var condition = new ArrayList<>(rest);
    condition.add(Expr.not(thing));
    condition.add(last);
    cases.add(
        new Claim(
            claim.id(), claim.text(), claim.kind(), new Expr.All(condition), claim.forQuanta(),
            remembered, claim.onlyWhile(), claim.faultBudget(), claim.faultsOf(), claim.basis(),
            claim.origin()));
  }

  private static Expr latch(Expr set, Expr before, Expr reset) {
    return new Expr.Any(List.of(set, new Expr.All(List.of(before, new Expr.Not(reset)))));
  }

  /**
   * Whether a monitor is such a latch, so that it would stay as it is if it were carried out once more where
   * it has just been: then between two steps it tells something of what it reads, hidden or not.
   */
  private static boolean isLatch(Reads reads, Assignment monitor) {
    int self = monitor.variable();
    return monitor.value() instanceof Expr.Any(List<Expr> either)
        && either.size() == 2
        && either.getLast() instanceof Expr.All(List<Expr> both)
        && both.size() == 2
        && both.getFirst().equals(new Expr.Read(self))
        && both.getLast() instanceof Expr.Not(Expr reset)
        && !reads.of(either.getFirst()).get(self)
        && !reads.of(reset).get(self);
  }

  /** Whether a claim is such a case, or has been made like one. */
  static boolean isCase(Reads reads, Claim claim) {
    return !claim.monitors().isEmpty() && isLatch(reads, claim.monitors().getLast());
  }

  private static Model extended(Model m, List<Variable> monitors) {
    var variables = new ArrayList<>(m.variables());
    variables.addAll(monitors);
    return new Model(
        m.name(), m.quantumMicros(), variables, m.definitions(), m.clocks(), m.changes(), m.controller(),
        m.start(), m.reactions(), List.of(), m.inhibits(), m.indications());
  }

  /** Adds what a conjunction is of, through definitions and denials of denials. */
  private static void conjuncts(Model model, Expr e, List<Expr> into) {
    switch (e) {
      case Expr.All all -> all.operands().forEach(o -> conjuncts(model, o, into));
      case Expr.Use use -> conjuncts(model, model.definitions().get(use.definition()).value(), into);
      default -> into.add(e);
    }
  }

  /** The things none of which is to be so; nothing if this is no such list. */
  private static List<Expr> noneOf(Model model, Expr e) {
    if (!(e instanceof Expr.Not(Expr denied))) {
      return List.of();
    }
    while (denied instanceof Expr.Use use) {
      denied = model.definitions().get(use.definition()).value();
    }
    return denied instanceof Expr.Any any ? any.operands() : List.of();
  }

  /**
   * What is decided of the cases one by one, together; null if there are none or that says nothing of the
   * claim.
   *
   * @param decider of one case, of the plant with what the cases remember
   */
  static Decider.@Nullable Decision decided(
      Reads reads, Claim claim, BiFunction<Reads, Claim, Refinement> decider, Searches searches) {
    LastToHold parted = of(reads, claim);
    if (parted == null) {
      return null;
    }
    Reads remembering = parted.remembering;
    return parted.ofClaim(
        CaseByCase.decide(
            remembering,
            parted.cases,
            new LikeCases(remembering, parted.cases.size()),
            one -> decider.apply(remembering, one),
            searches));
  }

  /** The plant with what the cases remember. */
  Reads remembering() {
    return remembering;
  }

  /** One for each thing, in the order written. */
  List<Claim> cases() {
    return cases;
  }

  private Decider.@Nullable Decision ofClaim(Decider.Decision decision) {
    return switch (decision.verdict()) {
      case Verdict.Proved p ->
          new Decider.Decision(
              new Verdict.Proved(p.longestQuanta(), ofPlant(p.kept()), p.effort()),
              ofClaim(decision.certificate()));
      case Verdict.Reached r -> ofClaim(r);
      case Verdict.Undecided _ -> null;
    };
  }

  private Decider.@Nullable Decision ofClaim(Verdict.Reached r) {
    Model model = reads.model();
    Trace run = r.trace();
    List<Integer> start = run.start().subList(0, model.variables().size());
    var trace = new Trace(run.ticksPerQuantum(), start, run.steps(), run.endTick());
    return Replay.run(model, claim, trace) instanceof Replayed.Valid
        ? new Decider.Decision(
            new Verdict.Reached(trace, r.events(), r.fewest(), ofPlant(r.kept()), r.effort()), null)
        : null;
  }

  private @Nullable Certificate ofClaim(@Nullable Certificate all) {
    if (all == null) {
      return null;
    }
    String fingerprint = Fingerprint.of(reads.model());
    return Certificate.of(all.cases().stream().map(c -> c.madeFor(fingerprint)).toList());
  }

  private List<String> ofPlant(List<String> names) {
    return names.stream().filter(n -> monitors.stream().noneMatch(m -> m.name().equals(n))).toList();
  }
}
