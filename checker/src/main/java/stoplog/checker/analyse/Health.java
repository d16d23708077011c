package stoplog.checker.analyse;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.function.Consumer;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.Inhibit;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/**
 * What makes a plant's proofs say less than they seem to: parts of the model that contradict
 * themselves, or that never do what they are there for.
 *
 * <p>That something never happens is said only where it is proved, by one quick search each; where
 * that search comes to no end, nothing is said.
 */
public final class Health {
  private static final Budget QUICK = new Budget(2_000, 64L << 20, Duration.ofMillis(500));

  private final Model model;
  private final Reads reads;
  private final Progress progress;
  private final int mostFaults;
  private final Deadlines deadlines;
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

  private Health(Reads reads, Duration most, Remembered remembered, Progress progress) {
    this.deadlineNanos = System.nanoTime() + most.toNanos();
    this.model = reads.model();
    this.reads = reads;
    this.progress = progress;
    this.mostFaults = model.claims().stream().mapToInt(Claim::faultBudget).max().orElse(0);
    this.deadlines = new Deadlines(reads, mostFaults, remembered, progress);
  }

  /**
   * The findings, the gravest kind first, in the order of the plant within each.
   *
   * @param proved the hazards that are proved, whose parts are looked at
   * @param most how long it may look; what voids proofs is looked at all the same
   * @param remembered what earlier runs have proved about deadlines
   */
  public static List<Finding> of(
      Reads reads, List<Claim> proved, Duration most, Remembered remembered, Progress progress) {
    var health = new Health(reads, most, remembered, progress);
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
  public static List<Finding> voiding(Reads reads, Remembered remembered, Progress progress) {
    var health = new Health(reads, Duration.ZERO, remembered, progress);
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

  private void deadline(Clock clock) {
    if (!deadlines.isMet(clock)) {
      add(
          Kind.BLOCKED,
          "when " + clock.name() + " is due, perhaps nothing can end it",
          clock.origin());
    }
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

  private Claim ask(Expr condition, Span at) {
    return ask(condition, mostFaults, at);
  }

  /** Asked with as many faults as any claim tolerates: what they bring about happens, too. */
  static Claim ask(Expr condition, int mostFaults, Span at) {
    return new Claim(
        "health", "", Claim.Kind.HAZARD, condition, 0, List.of(), mostFaults, at);
  }
}
