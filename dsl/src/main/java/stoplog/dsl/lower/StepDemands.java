package stoplog.dsl.lower;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.tree.Word;
import stoplog.model.Expr;

/** What the active steps of sequences ask of equipment, besides its own command statement. */
interface StepDemands {
  /** No sequence asks for anything. */
  StepDemands NONE = (equipment, verb) -> List.of();

  /**
   * Each step that asks for this, as the scan stands where the command is evaluated, in the order
   * written.
   *
   * @param verb which command of the equipment is meant
   */
  List<Demand> of(Symbol.Equipment equipment, Word verb);

  /**
   * A step's demand.
   *
   * @param active whether the step asks for it now
   * @param value the value it wants the command to take, at least 1; {@code null} if it leaves that
   *     to the command statement
   */
  record Demand(Expr active, @Nullable Integer value) {}
}
