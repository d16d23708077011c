package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.kinds.Kind.Answer;
import stoplog.dsl.kinds.Kind.Behaviour;
import stoplog.dsl.kinds.Kind.Motion;
import stoplog.dsl.kinds.Moves;
import stoplog.dsl.resolve.FaultsAsked;
import stoplog.dsl.resolve.ResolvedPlant.Driven;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.TimeWindow;
import stoplog.dsl.tree.Word;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Indication;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * Equipment of any kind, from the kind's table: a position, its commands and faults, the reaction of
 * the one to the others, and the motions that end by themselves.
 */
final class EquipmentLowering {
  private final Parts parts;
  private final Meanings meanings;
  private final Expr powered;
  private final boolean mayFail;
  private final FaultsAsked faults;
  private final InstrumentLowering instruments;

  /** Moved by the process, and so lowered when the process is known. */
  private final Map<String, Piece> driven = new LinkedHashMap<>();

  private final List<Runnable> lagging = new ArrayList<>();

  EquipmentLowering(
      Parts parts,
      Meanings meanings,
      Expr powered,
      FaultsAsked faults,
      InstrumentLowering instruments) {
    this.parts = parts;
    this.meanings = meanings;
    this.powered = powered;
    this.mayFail = !powered.equals(Expr.TRUE);
    this.faults = faults;
    this.instruments = instruments;
  }

  /**
   * A piece of equipment and its variables.
   *
   * @param commands one for each command of its kind
   * @param fault -1 if its faults do not matter
   * @param size the values of the position
   */
  private record Piece(
      Symbol.Equipment equipment,
      Moves moves,
      EquipmentReaction reaction,
      int position,
      List<Integer> commands,
      int fault,
      int size) {}

  void lower(Symbol.Equipment e) {
    Kind kind = e.kind();
    var moves = new Moves(kind, e.windows().keySet());
    boolean faulty = faults.of(e.name().text()) && !kind.faults().isEmpty();
    long starts = starts(e, moves);
    long reached = moves.reached(starts, possible(e, moves, faulty));
    int size = 64 - Long.numberOfLeadingZeros(reached);
    String tag = e.name().text();
    int position =
        parts.variable(
            tag, Role.EQUIPMENT, kind.positions().subList(0, size), starts, e.text(), e.span());
    meanings.position(e, position, (1L << size) - 1);
    List<Integer> commands = commands(e);
    int fault = faulty ? fault(e) : -1;
    var reaction = new EquipmentReaction(kind, moves, position, commands, reached);
    var piece = new Piece(e, moves, reaction, position, commands, fault, size);
    if (kind.drives().isEmpty()) {
      parts.reactions.add(new Assignment(position, next(piece), e.span()));
    } else {
      driven.put(tag, piece);
    }
    if (e.byHand()) {
      hand(piece);
    }
    motions(piece);
    strikes(piece, reached);
    feedbacks(piece);
    suggestions(piece);
  }

  private static Kind.@Nullable Fail fail(Symbol.Equipment e) {
    return e.fail() != null ? e.fail() : e.kind().statesFail() ? e.kind().fails().getFirst() : null;
  }

  private static long starts(Symbol.Equipment e, Moves moves) {
    Kind.Fail fail = fail(e);
    return e.byHand() ? moves.rests() : fail == null ? e.kind().starts() : fail.starts();
  }

  /** What it does without power; {@code null} if it only loses its commands, or keeps them. */
  private @Nullable Behaviour unpowered(Symbol.Equipment e) {
    Kind.Fail fail = fail(e);
    return !mayFail || e.byHand()
        ? null
        : fail == null ? e.kind().unpowered() : fail.behaviour();
  }

  private Set<List<Answer>> possible(Symbol.Equipment e, Moves moves, boolean faulty) {
    var possible = new LinkedHashSet<>(moves.answers(moves.settings(null)));
    Behaviour unpowered = unpowered(e);
    if (unpowered != null) {
      possible.addAll(moves.answers(unpowered));
    }
    for (Kind.Fault f : e.kind().faults()) {
      if (faulty) {
        possible.addAll(moves.answers(f.behaviour()));
      }
    }
    return possible;
  }

  private Expr next(Piece p) {
    boolean depends = mayFail && !p.equipment().byHand();
    return p.reaction().next(depends ? powered : null, unpowered(p.equipment()), p.fault());
  }

  private List<Integer> commands(Symbol.Equipment e) {
    var variables = new ArrayList<Integer>();
    String tag = e.name().text();
    List<Kind.Command> commands = e.kind().commands();
    Role role = e.byHand() ? Role.PANEL : Role.COMMAND;
    for (Kind.Command c : commands) {
      boolean only = commands.size() == 1;
      String name = e.commandVariable(variables.size());
      String text = (only ? "command of " : "command to " + c.verb() + " ") + tag;
      long initial = e.byHand() && isFreeByHand(e.kind()) ? Parts.values(c.words().size()) : 1;
      int variable = parts.variable(name, role, c.words(), initial, text, e.span());
      meanings.command(e, variables.size(), variable);
      variables.add(variable);
    }
    return variables;
  }

  /** With one command of two words the position tells how it was set; else it is anybody's guess. */
  private static boolean isFreeByHand(Kind kind) {
    return kind.commands().size() != 1 || kind.commands().getFirst().words().size() != 2;
  }

  private int fault(Symbol.Equipment e) {
    String tag = e.name().text();
    var values = new ArrayList<String>();
    values.add("none");
    e.kind().faults().forEach(f -> values.add(f.text()));
    int fault = parts.variable(tag + ".fault", Role.FAULT, values, 1, "fault of " + tag, e.span());
    meanings.fault(
        tag, new FaultLowering.Fault(fault, e.kind().faultNames(), e.span()));
    return fault;
  }

  /** The newest fault decides; one that has struck never goes away. */
  private void strikes(Piece p, long reached) {
    Symbol.Equipment e = p.equipment();
    for (int f = 0; f < e.kind().faults().size() && p.fault() >= 0; f++) {
      Kind.Fault fault = e.kind().faults().get(f);
      if ((fault.strikes() & reached) == 0) {
        continue;
      }
      boolean anywhere = (reached & ~fault.strikes()) == 0;
      Expr here = anywhere ? Expr.TRUE : in(p, fault.strikes());
      parts.change(
          e.name() + " " + fault.text(),
          Cause.FAULT,
          Expr.all(Expr.not(Expr.is(p.fault(), f + 1)), here),
          null,
          List.of(Parts.set(p.fault(), f + 1, e.span())),
          e.span());
    }
  }

  private void hand(Piece p) {
    Symbol.Equipment e = p.equipment();
    List<Kind.Command> commands = e.kind().commands();
    if (!isFreeByHand(e.kind())) {
      long on = 0;
      for (Moves.Setting s : p.moves().settings(null)) {
        on |= s.commands().getFirst() == 1 ? p.moves().stills(p.moves().answers(s)) : 0;
      }
      Expr set = new Expr.In(new Expr.Read(p.position()), on);
      parts.start.add(new Assignment(p.commands().getFirst(), set, e.span()));
    }
    for (int c = 0; c < commands.size(); c++) {
      String what = commands.size() == 1 ? "" : commands.get(c).verb() + " ";
      for (int value = 0; value < commands.get(c).words().size(); value++) {
        parts.change(
            e.name() + " " + what + "set " + commands.get(c).words().get(value) + " by hand",
            Cause.OPERATOR,
            Expr.not(Expr.is(p.commands().get(c), value)),
            null,
            List.of(Parts.set(p.commands().get(c), value, e.span())),
            e.span());
      }
    }
  }

  private void motions(Piece p) {
    Symbol.Equipment e = p.equipment();
    List<String> told = e.kind().positions();
    for (Motion m : e.kind().motions()) {
      TimeWindow window = e.windows().get(m.window());
      if (window == null || m.during() >= p.size()) {
        continue;
      }
      Expr moving = Expr.is(p.position(), m.during());
      String name = told.get(m.during());
      String again = told.indexOf(name) < m.during() ? " again" : "";
      int clock =
          parts.clock(
              e.name() + " " + name + again, moving, parts.bound(window.highMicros()), window.span());
      long earliest = m.fresh() ? window.lowMicros() : 0;
      parts.change(
          e.name() + " " + m.text(),
          Cause.EQUIPMENT,
          moving,
          new Timing(clock, parts.bound(earliest), parts.bound(window.highMicros())),
          List.of(Parts.set(p.position(), p.moves().settle(m.end()), window.span())),
          window.span());
    }
  }

  private void feedbacks(Piece p) {
    Symbol.Equipment e = p.equipment();
    for (Map.Entry<String, Word> f : e.feedbacks().entrySet()) {
      Kind.Said proves = Objects.requireNonNull(e.kind().predicates().get(f.getKey()));
      String tag = f.getValue().text();
      String text = e.name() + " proven " + f.getKey();
      Span at = f.getValue().span();
      TimeWindow lag = e.lags().get(f.getKey());
      if (lag == null) {
        Expr meaning = instruments.feedback(tag, text, said(p, proves), null, at);
        meanings.truth(tag, meaning);
        feedbackIndications(p, proves, tag, meaning);
      } else {
        // Its start follows the position, which that of the process may have moved first.
        lagging.add(
            () -> {
              Expr meaning = instruments.feedback(tag, text, said(p, proves), lag, at);
              meanings.truth(tag, meaning);
              feedbackIndications(p, proves, tag, meaning);
            });
      }
    }
  }

  private static void once(List<Long> truths, long truth) {
    if (!truths.contains(truth)) {
      truths.add(truth);
    }
  }

  private void feedbackIndications(Piece p, Kind.Said proves, String tag, Expr meaning) {
    var truths = new ArrayList<Long>();
    p.equipment().kind().suggestions().forEach(s -> once(truths, s.positions()));
    for (long truth : truths) {
      // Worth naming where the feedback can be silent while what it is taken for is so.
      boolean narrower = (proves.positions() & ~truth) == 0 && proves.positions() != truth;
      if (narrower && proves.faults() == 0) {
        parts.indications.add(new Indication(meaning, in(p, truth), tag, p.position()));
      }
    }
  }

  private void suggestions(Piece p) {
    if (p.equipment().byHand()) {
      return;
    }
    String tag = p.equipment().name().text();
    List<Kind.Command> commands = p.equipment().kind().commands();
    for (Kind.Suggestion s : p.equipment().kind().suggestions()) {
      Expr shown = Expr.is(p.commands().get(s.command()), s.value());
      String what =
          commands.size() == 1
              ? "the command of " + tag
              : "the command to " + commands.get(s.command()).verb() + " " + tag;
      parts.indications.add(new Indication(shown, in(p, s.positions()), what, p.position()));
    }
  }

  /**
   * What the process moves, and the feedbacks that lag: after all conditions have a meaning, and
   * before the levels, which read positions.
   *
   * <p>A drive may read the position of other driven equipment. Those are moved first; for those that
   * depend on each other in a circle see {@link DrivenCircle}.
   */
  void process(List<Driven> drives) {
    for (Driven d : drives) {
      Piece p = Objects.requireNonNull(driven.get(d.equipment().name().text()));
      Expr when = meanings.of(d.when());
      String drive = d.equipment().kind().drives().get(d.drive()).name();
      boolean simple = when instanceof Expr.Use || when instanceof Expr.In;
      String name = d.equipment().name() + "." + drive;
      p.reaction()
          .drive(
              d.drive(),
              simple ? when : parts.define(name, when, "what moves " + p.equipment().name(), d.span()));
    }
    var circles = new DrivenCircle(parts);
    for (DriveOrder.Knot knot : DriveOrder.of(driven.keySet(), drives, parts, meanings)) {
      var moves = new ArrayList<Assignment>();
      for (String tag : knot.tags()) {
        Piece p = Objects.requireNonNull(driven.get(tag));
        moves.add(new Assignment(p.position(), next(p), p.equipment().span()));
      }
      List<Assignment> moved = knot.circle() ? circles.moved(moves, knot.rounds()) : moves;
      parts.start.addAll(moved);
      parts.reactions.addAll(moved);
    }
    lagging.forEach(Runnable::run);
  }

  private Expr said(Piece p, Kind.Said said) {
    Expr positioned = in(p, said.positions());
    if (p.fault() < 0 || said.faults() == 0) {
      return positioned;
    }
    return Expr.any(positioned, Meanings.in(p.fault(), said.faults() << 1));
  }

  private static Expr in(Piece p, long positions) {
    return Meanings.in(p.position(), positions & Parts.values(p.size()));
  }
}
