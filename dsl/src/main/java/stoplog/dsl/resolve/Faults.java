package stoplog.dsl.resolve;

import java.util.List;

/** Which faults each thing of a plant can have. */
final class Faults {
  private Faults() {}

  /** The names of its faults, in the order of the values of its fault variable from 1 on. */
  static List<String> of(Symbol symbol) {
    return symbol instanceof Symbol.Equipment e
        ? e.kind().faultNames()
        : QualityResolver.faults(symbol);
  }
}
