package stoplog.dsl.resolve;

import java.util.HashSet;
import java.util.Set;
import stoplog.model.FieldChange.Cause;

/**
 * Whose faults some claim or scenario of a plant asks for. Only these become part of the model, so
 * that a plant without such claims pays nothing for the faults it could have.
 *
 * @param everybody whether some claim tolerates faults without saying whose
 * @param variables the fault variables ({@code PT-1.fault}) of those that are asked for by name
 */
public record FaultsAsked(boolean everybody, Set<String> variables) {
  public FaultsAsked {
    variables = Set.copyOf(variables);
  }

  /** Whether the faults of this tag, or of the panel item of this name, are asked for. */
  public boolean of(String tag) {
    return everybody || variables.contains(tag + ".fault");
  }

  /** Linear. */
  public static FaultsAsked of(ResolvedPlant plant) {
    boolean everybody = false;
    var variables = new HashSet<String>();
    for (ResolvedPlant.Claim c : plant.claims()) {
      ResolvedPlant.Tolerance t = c.under().tolerance();
      if (t != null) {
        everybody |= t.of().isEmpty();
        t.of().forEach(s -> variables.add(s.name() + ".fault"));
      }
    }
    for (Scenario s : plant.scenarios()) {
      for (Scenario.Entry e : s.entries()) {
        if (e instanceof Scenario.Happens h) {
          for (Scenario.Event v : h.events()) {
            if (v.cause() == Cause.FAULT) {
              variables.add(v.variable());
            }
          }
        }
      }
    }
    return new FaultsAsked(everybody, variables);
  }
}
