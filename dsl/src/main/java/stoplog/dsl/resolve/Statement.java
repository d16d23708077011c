package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Word;
import stoplog.model.Inhibit;
import stoplog.source.Span;

/** A statement of the logic. */
public sealed interface Statement
    permits Statement.SetLatch, Statement.SetSignal, Statement.Drive, Keeping, Chart {
  Span span();

  /** Its terms, in the order in which the scan evaluates them. */
  List<Term> terms();

  record SetLatch(Symbol.Latch latch, Term setBy, Term clearedBy, boolean setWins, Span span)
      implements Statement {
    @Override
    public List<Term> terms() {
      return List.of(setBy, clearedBy);
    }
  }

  record SetSignal(Symbol.Signal signal, Term value, Span span) implements Statement {
    @Override
    public List<Term> terms() {
      return List.of(value);
    }
  }

  /**
   * A command.
   *
   * @param tagSpan where this command names its equipment
   * @param demand when it is wanted; {@code null} if only steps of sequences ask for it
   * @param values which value the command takes while it is wanted: that of the first whose
   *     condition holds, else 1
   */
  record Drive(
      Symbol.Equipment equipment,
      Word verb,
      Span tagSpan,
      @Nullable Term demand,
      List<AtValue> values,
      List<Guard> guards,
      Span span)
      implements Statement {
    public Drive {
      values = List.copyOf(values);
      guards = List.copyOf(guards);
    }

    @Override
    public List<Term> terms() {
      var terms = new ArrayList<Term>();
      if (demand != null) {
        terms.add(demand);
      }
      values.forEach(v -> terms.add(v.when()));
      for (Guard g : guards) {
        terms.add(g.condition());
        if (g.bypass() != null) {
          terms.add(g.bypass());
        }
        if (g.resetBy() != null) {
          terms.add(g.resetBy());
        }
      }
      return terms;
    }

    /** Which of the equipment's commands it is; 0 with a verb that its kind does not have. */
    public int command() {
      return Math.max(0, equipment.kind().command(verb.text()));
    }
  }

  /** A value of a command, which is at least 1, and when it is meant. */
  record AtValue(int value, Term when) {}

  /**
   * A permissive, interlock or trip; only a trip has a reset, and it may be left out.
   *
   * @param bypass while this holds, the guard is as if it were content; {@code null} for none
   */
  record Guard(
      Inhibit.Kind kind,
      String text,
      Term condition,
      @Nullable Term resetBy,
      @Nullable Term bypass,
      Span span) {}
}
