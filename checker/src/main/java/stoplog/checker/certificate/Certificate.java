package stoplog.checker.certificate;

import java.util.List;

/**
 * A set of states that holds every run of a plant and no state in which the claim's condition has held
 * for too long.
 *
 * @param plant name of the plant
 * @param fingerprint of the plant model, see {@link Fingerprint}
 * @param claim label of the claim
 * @param keeps names of the variables whose values the states give, ascending by index
 * @param follows names of variables that are exact within one step only, ascending by index
 * @param due whether the states tell how many changes the controller has not seen
 * @param states the set
 */
public record Certificate(
    String plant,
    String fingerprint,
    String claim,
    List<String> keeps,
    List<String> follows,
    boolean due,
    List<State> states) {
  public Certificate {
    keeps = List.copyOf(keeps);
    follows = List.copyOf(follows);
    states = List.copyOf(states);
  }

  /**
   * All states with these values and any clock readings that satisfy the bounds. A clock that runs and
   * has no bound may read anything from 0.
   *
   * @param values one for each variable of {@code keeps}
   * @param due changes not seen, at most; 0 if the certificate does not tell
   * @param faults faults that have struck, at most
   */
  public record State(List<Integer> values, int due, int faults, List<Bound> bounds) {
    public State {
      values = List.copyOf(values);
      bounds = List.copyOf(bounds);
    }
  }

  /**
   * The reading of {@code upper} less the reading of {@code lower} is at most (or below) so many
   * quanta.
   *
   * @param upper name of a clock, or {@link #ZERO}
   * @param lower name of a clock, or {@link #ZERO}
   */
  public record Bound(String upper, String lower, long quanta, boolean attained) {
    /** Stands for the number 0. */
    public static final String ZERO = "0";

    /** The clock that measures how long a scan has been due. */
    public static final String DUE = "scan due";

    /** The clock that measures how long the claim's condition has held. */
    public static final String CONDITION = "condition";
  }
}
