package stoplog.checker.analyse;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.PrimeCover;
import stoplog.checker.abstraction.Reachable;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Inhibit;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.model.Verdict;
import stoplog.source.Span;

/**
 * What makes a plant's proofs say less than they seem to: parts of the model that contradict
 * themselves, or that never do what they are there for.
 *
 * <p>That something never happens is said only where it is proved, by one quick search each; where
 * that search comes to no end, nothing is said.
 */
public final class Health {
  /** Beyond it, it is asked first what the variables around a deadline can be together. */
  private static final Budget AT_ONCE = new Budget(2_000, 64L << 20, Duration.ofSeconds(2));

  /** Combinations of values up to which it is asked what a few variables can be together. */
  private static final int MOST_TOGETHER = 5_000;

  private static final Budget QUICK = new Budget(2_000, 64L << 20, Duration.ofMillis(500));
  private static final Budget PATIENT = new Budget(200_000, 256L << 20, Duration.ofSeconds(10));

  private final Model model;
  private final Reads reads;
  private final Progress progress;
  private final Movers movers;
  private final int mostFaults;
  private final Map<Integer, Expr> together = new HashMap<>();
  private final List<Finding> findings = new ArrayList<>();
  private final long deadlineNanos;
  private final List<String> notLookedAt = new ArrayList<>();

  /** What is amiss. */
  public enum Kind {
    /** A deadline may come due with nothing allowed that meets it: time would stand still. */
    BLOCKED(true),
    /** Scan may follow scan without end. */
    CHATTERS(true),
    /** Scan after scan may change something, but time goes on. */
    FLICKERS(false),
    /** A part of a claim that is proved never holds by itself, or what the claim takes for granted. */
    NEVER_HAPPENS(false),
    /** A permissive, interlock or trip that never stops anything. */
    NEVER_BLOCKS(false),
    /** A timer whose time never begins. */
    NEVER_RUNS(false),
    /** An instrument that the logic does not read. */
    NEVER_READ(false),
    /** What there was no time to look at. */
    NOT_LOOKED_AT(false);

    private final boolean voidsProofs;

    Kind(boolean voidsProofs) {
      this.voidsProofs = voidsProofs;
    }

    /** Whether no proof of the plant stands beside it. */
    public boolean voidsProofs() {
      return voidsProofs;
    }
  }

  /**
   * @param text a sentence without full stop
   * @param at where the plant says it
   */
  public record Finding(Kind kind, String text, Span at) {}

  private Health(Reads reads, Duration most, Progress progress) {
    this.deadlineNanos = System.nanoTime() + most.toNanos();
    this.model = reads.model();
    this.reads = reads;
    this.progress = progress;
    this.movers = new Movers(reads);
    this.mostFaults = model.claims().stream().mapToInt(Claim::faultBudget).max().orElse(0);
  }

  /**
   * The findings, the gravest kind first, in the order of the plant within each.
   *
   * @param proved the hazards that are proved, whose parts are looked at
   * @param most how long it may look; what voids proofs is looked at all the same
   */
  public static List<Finding> of(
      Reads reads, List<Claim> proved, Duration most, Progress progress) {
    var health = new Health(reads, most, progress);
    health.voiding();
    health.flicker();
    health.each("what proved claims take for granted", proved, health::grantedOrBegun);
    health.each("the parts of proved hazards", proved, health::parts);
    health.each("permissives, interlocks and trips", reads.model().inhibits(), health::inhibit);
    health.each("timers", reads.model().clocks(), health::timer);
    health.instruments();
    health.notLookedAt();
    return health.findings;
  }

  private <T> void each(String what, List<T> all, Consumer<T> look) {
    for (int i = 0; i < all.size(); i++) {
      if (System.nanoTime() - deadlineNanos > 0) {
        notLookedAt.add(
            i == 0 ? what : "the last " + (all.size() - i) + " of " + all.size() + " " + what);
        return;
      }
      look.accept(all.get(i));
    }
  }

  private void notLookedAt() {
    if (!notLookedAt.isEmpty()) {
      add(
          Kind.NOT_LOOKED_AT,
          "not looked at, for want of time: " + String.join("; ", notLookedAt),
          Span.NONE);
    }
  }

  /** Only what voids every proof. */
  public static List<Finding> voiding(Reads reads, Progress progress) {
    var health = new Health(reads, Duration.ZERO, progress);
    health.voiding();
    return health.findings;
  }

  private void voiding() {
    chatter();
    // Logic that may not settle lets nothing be proved, of deadlines neither.
    if (!findings.isEmpty()) {
      return;
    }
    for (Clock clock : model.clocks()) {
      if (progress.stopped()) {
        add(Kind.BLOCKED, "interrupted before all deadlines were looked at", clock.origin());
        return;
      }
      deadline(clock);
    }
  }

  private void add(Kind kind, String text, Span at) {
    findings.add(new Finding(kind, text, at));
  }

  // Deadlines

  /**
   * While the clock runs, some change that can stop it must be allowed when it stands at its limit: one
   * that comes by itself, in its own time. Whether a change that waits for another clock has waited
   * long enough by then is not looked at.
   */
  private void deadline(Clock clock) {
    if (clock.limit() == null) {
      return;
    }
    BitSet stops = reads.of(clock.running());
    var guards = new ArrayList<Expr>();
    for (int id : movers.of(clock.id(), stops).stream().toArray()) {
      FieldChange c = model.changes().get(id);
      FieldChange.Timing t = c.timing();
      boolean waits = t != null && t.clock() == clock.id();
      boolean inTime = !waits || comesBy(t, clock.limit());
      boolean byItself =
          switch (c.cause()) {
            case EQUIPMENT, INSTRUMENT, TIMER -> true;
            case PROCESS -> t != null;
            case OPERATOR, FAULT, POWER -> false;
          };
      if (byItself && inTime) {
        guards.add(c.guard());
      }
    }
    Expr unmet = Expr.all(clock.running(), Expr.not(Expr.any(guards)));
    if (!isNever(unmet, clock.origin())) {
      add(
          Kind.BLOCKED,
          "when " + clock.name() + " is due, perhaps nothing can end it",
          clock.origin());
    }
  }

  /**
   * Whether the condition is proved never to last. (Other changes may stop a clock in the instant in
   * which it is due; only lasting counts.) What lasts is one of its cases for some time, since in any
   * time there are only so many steps.
   */
  private boolean isNever(Expr condition, Span at) {
    if (cases(condition).isEmpty() || isProved(condition, AT_ONCE, at)) {
      return true;
    }
    var parts = new ArrayList<Expr>(List.of(condition));
    reads.of(condition).stream().forEach(v -> parts.add(together(v)));
    return cases(Expr.all(parts)).stream().allMatch(c -> isProved(c, PATIENT, at));
  }

  private List<Expr> cases(Expr condition) {
    return PrimeCover.of(model, condition).orElse(List.of(condition));
  }

  /** What the variable can be beside what it answers to at once; true if there is no telling. */
  private Expr together(int variable) {
    return together.computeIfAbsent(
        variable,
        v -> {
          BitSet around = movers.answeredBy(v);
          long combinations = 1;
          for (int a : around.stream().toArray()) {
            combinations = Math.min(combinations * model.variable(a).size(), Integer.MAX_VALUE);
          }
          return combinations > MOST_TOGETHER
              ? Expr.TRUE
              : Reachable.of(reads, around, mostFaults, PATIENT, progress).orElse(Expr.TRUE);
        });
  }

  private boolean isProved(Expr never, Budget budget, Span at) {
    return Decider.decide(reads, ask(never, at), budget, progress) instanceof Verdict.Proved;
  }

  /** Whether the window is open when the clock stands at its limit, or comes as near to it as it may. */
  private static boolean comesBy(FieldChange.Timing window, Bound limit) {
    Bound first = window.earliest();
    Bound last = window.latest();
    long at = limit.quanta();
    boolean both = first.closed() && limit.closed();
    return (first.quanta() < at || (first.quanta() == at && both))
        && (last == null
            || last.quanta() > at
            || (last.quanta() == at && (last.closed() || !limit.closed())));
  }

  private void chatter() {
    List<String> restless = reads.restless();
    if (!restless.isEmpty()) {
      add(
          Kind.CHATTERS,
          "the logic may never come to rest: " + String.join(", ", restless),
          model.variable(restless.getFirst()).origin());
    }
  }

  private void flicker() {
    List<String> may = reads.flickering();
    if (model.controller().reactionQuanta() > 0 && !may.isEmpty()) {
      add(
          Kind.FLICKERS,
          "scan after scan may change " + String.join(", ", may)
              + " though nothing in the field moves; proofs stand, for time goes on",
          model.variable(may.getFirst()).origin());
    }
  }

  // What never happens

  private void parts(Claim hazard) {
    if (hazard.condition() instanceof Expr.All(List<Expr> operands)) {
      for (Expr part : operands) {
        if (isOfThePlant(part) && never(part, hazard.origin())) {
          add(
              Kind.NEVER_HAPPENS,
              hazard.id() + " is proved, but a part of it never holds at all: " + words(part),
              hazard.origin());
        }
      }
    } else if (hazard.forQuanta() > 0 // Else that it never holds is what the proof says.
        && isOfThePlant(hazard.condition())
        && never(hazard.condition(), hazard.origin())) {
      add(
          Kind.NEVER_HAPPENS,
          hazard.id() + " is proved, but its one part never holds at all: "
              + words(hazard.condition()),
          hazard.origin());
    }
  }

  /**
   * What a claim takes for granted: where no run keeps to it for as long as the claim asks about, or
   * where what begins the claim's time never happens, nothing was proved but that.
   */
  private void grantedOrBegun(Claim claim) {
    String proved = claim.id() + (claim.kind() == Claim.Kind.HAZARD ? " is proved" : " holds");
    for (Assignment monitor : claim.monitors()) {
      Variable v = model.variable(monitor.variable());
      if (v.name().endsWith(".assumption")) {
        var kept =
            new Claim(
                "health", "", Claim.Kind.HAZARD, Expr.is(v.id(), 0), claim.forQuanta(),
                List.of(monitor), mostFaults, claim.origin());
        if (!progress.stopped() && Decider.isRuledOut(reads, kept, QUICK, progress)) {
          String longer = claim.forQuanta() > 0 ? " for as long as it asks about" : "";
          String text = proved + ", but no run keeps to what it assumes" + longer;
          add(Kind.NEVER_HAPPENS, text, claim.origin());
        }
      } else if (monitor.value() instanceof Expr.Choose(_, _, Expr.Choose(Expr begins, _, _))
          && never(begins, claim.origin())) {
        String text = proved + ", but what begins it never happens";
        add(Kind.NEVER_HAPPENS, text, claim.origin());
      }
    }
  }

  /** What a claim remembers by itself is no part of the plant. */
  private boolean isOfThePlant(Expr part) {
    BitSet read = reads.of(part);
    return read.stream().noneMatch(v -> model.variable(v).role() == Role.MONITOR);
  }

  private String words(Expr part) {
    BitSet read = reads.of(part);
    var names = new ArrayList<String>();
    read.stream().forEach(v -> names.add(model.variable(v).name()));
    return "what it says of " + String.join(", ", names);
  }

  private void inhibit(Inhibit i) {
    boolean trips = i.kind() == Inhibit.Kind.TRIP;
    Expr blocks = trips ? i.condition() : Expr.not(i.condition());
    if (never(blocks, i.origin())) {
      String command = model.variable(i.command()).name().replaceFirst("\\.command$", "");
      String kind = i.kind().name().toLowerCase(java.util.Locale.ROOT);
      add(
          Kind.NEVER_BLOCKS,
          "the " + kind + " \"" + i.text() + "\" of " + command + " never stops it",
          i.origin());
    }
  }

  private void timer(Clock clock) {
    BitSet read = reads.of(clock.running());
    boolean ofTheLogic =
        read.stream().anyMatch(v -> model.variable(v).role() == Role.TIMER);
    if (ofTheLogic && never(clock.running(), clock.origin())) {
      add(Kind.NEVER_RUNS, clock.name() + " never begins to run", clock.origin());
    }
  }

  private void instruments() {
    BitSet read = new BitSet();
    model.controller().program().forEach(a -> read.or(reads.of(a.value())));
    for (Variable v : model.variables()) {
      // A space stands in names of what an instrument remembers to follow: no tag of the plant.
      boolean tag = v.role() == Role.INSTRUMENT && v.name().indexOf(' ') < 0;
      if (tag && !read.get(v.id()) && !behind(read, v)) {
        add(Kind.NEVER_READ, v.name() + " is never read by the logic", v.origin());
      }
    }
  }

  /** Whether another variable that the logic reads stands for this one: a setpoint beside it. */
  private boolean behind(BitSet read, Variable instrument) {
    return read.stream()
        .anyMatch(v -> model.variable(v).name().startsWith(instrument.name() + "?"));
  }

  private boolean never(Expr condition, Span at) {
    return !progress.stopped()
        && Decider.isRuledOut(reads, ask(condition, at), QUICK, progress);
  }

  /** Asked with as many faults as any claim tolerates: what they bring about happens, too. */
  private Claim ask(Expr condition, Span at) {
    return new Claim(
        "health", "", Claim.Kind.HAZARD, condition, 0, List.of(), mostFaults, at);
  }
}
