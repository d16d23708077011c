package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.resolve.FaultsAsked;
import stoplog.dsl.resolve.QualityResolver;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * Faults: one variable {@code TAG.fault} for each thing whose faults some claim or scenario asks
 * for. A fault strikes at any instant, one to a thing, and stays.
 */
final class FaultLowering {
  private final Parts parts;
  private final Meanings meanings;
  private final FaultsAsked asked;

  FaultLowering(Parts parts, Meanings meanings, FaultsAsked asked) {
    this.parts = parts;
    this.meanings = meanings;
    this.asked = asked;
  }

  /** Which fault a thing has: value 0 none, then those it can have in their order. */
  record Fault(int variable, List<String> names, Span at) {
    Expr none() {
      return Expr.is(variable, 0);
    }

    Expr is(String name) {
      int place = names.indexOf(name);
      return place < 0 ? Expr.FALSE : Expr.is(variable, place + 1);
    }
  }

  /** The faults of a thing; {@code null} if nobody asks for them. */
  @Nullable Fault declare(String tag, List<String> names, Span at) {
    if (names.isEmpty() || !asked.of(tag)) {
      return null;
    }
    var values = new ArrayList<>(List.of("none"));
    names.forEach(n -> values.add(n.replace('_', ' ')));
    int id = parts.variable(tag + ".fault", Role.FAULT, values, 1, "fault of " + tag, at);
    var fault = new Fault(id, List.copyOf(names), at);
    meanings.fault(tag, fault);
    return fault;
  }

  /**
   * A fault may strike.
   *
   * @param text as told in a trace
   * @param effects what it does at that instant
   */
  void strikes(Fault fault, String name, String text, List<Assignment> effects) {
    var all = new ArrayList<Assignment>();
    all.add(Parts.set(fault.variable(), fault.names().indexOf(name) + 1, fault.at()));
    all.addAll(effects);
    parts.change(text, Cause.FAULT, fault.none(), null, all, fault.at());
  }

  /** Nothing the thing does by itself happens any more. */
  static Expr sound(@Nullable Fault fault) {
    return fault == null ? Expr.TRUE : fault.none();
  }

  /** The fault of an instrument or button as told in a trace. */
  static String words(String tag, String name) {
    return switch (name) {
      case QualityResolver.STUCK_ON -> tag + " sticks on";
      case QualityResolver.STUCK_OFF -> tag + " sticks off";
      case QualityResolver.WIRE_BROKEN -> "wire of " + tag + " breaks";
      case QualityResolver.FAILED_LOW -> tag + " fails low";
      case QualityResolver.FAILED_HIGH -> tag + " fails high";
      case QualityResolver.FROZEN -> tag + " freezes";
      default -> tag + " sticks";
    };
  }
}
