package stoplog.model;

import java.util.HashMap;
import java.util.List;

/**
 * A whole plant as a timed transition system. Immutable; the meaning of its parts is stated in the
 * package comment and in each part's own.
 *
 * @param name the plant's name
 * @param quantumMicros the length of one quantum in microseconds; every time of the model is a whole
 *     number of quanta
 * @param start assignments carried out once at the start, before the reactions: values that follow
 *     from others there, such as an instrument that has long settled
 * @param reactions how the field answers at once to whatever a step changed (equipment to its command,
 *     a level to its flows): carried out in order after the assignments of every step
 * @param claims what is to be decided, in the order written
 */
public record Model(
    String name,
    long quantumMicros,
    List<Variable> variables,
    List<Definition> definitions,
    List<Clock> clocks,
    List<FieldChange> changes,
    Controller controller,
    List<Assignment> start,
    List<Assignment> reactions,
    List<Claim> claims,
    List<Inhibit> inhibits,
    List<Indication> indications) {

  public Model {
    variables = List.copyOf(variables);
    definitions = List.copyOf(definitions);
    clocks = List.copyOf(clocks);
    changes = List.copyOf(changes);
    start = List.copyOf(start);
    reactions = List.copyOf(reactions);
    claims = List.copyOf(claims);
    inhibits = List.copyOf(inhibits);
    indications = List.copyOf(indications);
    if (quantumMicros < 1) {
      throw new IllegalArgumentException("quantum of " + quantumMicros + " us");
    }
    new ModelRules(variables, definitions, clocks, changes, controller, start, reactions, claims).check();
    for (Inhibit i : inhibits) {
      require(i.command() >= 0 && i.command() < variables.size(), "command of " + i.text());
    }
  }

  private static void require(boolean holds, String what) {
    if (!holds) {
      throw new IllegalArgumentException("no such variable: " + what);
    }
  }

  public Variable variable(int id) {
    return variables.get(id);
  }

  /**
   * The variable with this name.
   *
   * @throws IllegalArgumentException if there is none. O(variables).
   */
  public Variable variable(String variableName) {
    for (Variable v : variables) {
      if (v.name().equals(variableName)) {
        return v;
      }
    }
    throw new IllegalArgumentException("no variable " + variableName);
  }

  /**
   * The claim with this label.
   *
   * @throws IllegalArgumentException if there is none
   */
  public Claim claim(String id) {
    for (Claim c : claims) {
      if (c.id().equals(id)) {
        return c;
      }
    }
    throw new IllegalArgumentException("no claim " + id);
  }

  /** Names to indices, for tests and tools that look up many. */
  public java.util.Map<String, Integer> indexByName() {
    var index = new HashMap<String, Integer>();
    for (Variable v : variables) {
      index.put(v.name(), v.id());
    }
    return index;
  }
}
