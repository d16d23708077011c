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
 * @param groups what the states tell of several variables at once
 * @param due whether the states tell how many changes the controller has not seen
 * @param states the set
 * @param cases if there are any, one certificate for each case of the claim's condition ({@link Cases}),
 *     and none of what stands before: together they prove the claim
 */
public record Certificate(
    String plant,
    String fingerprint,
    String claim,
    List<String> keeps,
    List<String> follows,
    List<Group> groups,
    boolean due,
    List<State> states,
    List<Certificate> cases) {
  public Certificate {
    keeps = List.copyOf(keeps);
    follows = List.copyOf(follows);
    groups = List.copyOf(groups);
    states = List.copyOf(states);
    cases = List.copyOf(cases);
  }

  /** A certificate of one set. */
  public Certificate(
      String plant,
      String fingerprint,
      String claim,
      List<String> keeps,
      List<String> follows,
      List<Group> groups,
      boolean due,
      List<State> states) {
    this(plant, fingerprint, claim, keeps, follows, groups, due, states, List.of());
  }

  /** A certificate by cases, of a claim of which all of these prove one case. */
  public static Certificate of(List<Certificate> cases) {
    Certificate first = cases.getFirst();
    return new Certificate(
        first.plant(), first.fingerprint(), first.claim(), List.of(), List.of(), List.of(), false,
        List.of(), cases);
  }

  /** How many states it gives, those of all cases together. */
  public int size() {
    return states.size() + cases.stream().mapToInt(Certificate::size).sum();
  }

  /** The same set for another plant of the same variables. */
  public Certificate madeFor(String otherFingerprint) {
    return new Certificate(
        plant, otherFingerprint, claim, keeps, follows, groups, due, states,
        cases.stream().map(c -> c.madeFor(otherFingerprint)).toList());
  }

  /**
   * That at least so many of these hold. Between steps a state tells whether it is so and nothing more;
   * within a step the members are exact once they are assigned.
   *
   * @param atLeast 1 or more
   */
  public record Group(int atLeast, List<Member> members) {
    public Group {
      members = List.copyOf(members);
    }
  }

  /**
   * That a variable has one of these values.
   *
   * @param values bit v stands for value v
   */
  public record Member(String variable, long values) {}

  /**
   * All states with these values and any clock readings that satisfy the bounds. A clock that runs and
   * has no bound may read anything from 0.
   *
   * @param values one for each variable of {@code keeps}
   * @param groups one for each of the certificate's groups, whether it is so
   * @param due changes not seen, at most; 0 if the certificate does not tell
   * @param faults faults that have struck, at most
   */
  public record State(
      List<Integer> values, List<Boolean> groups, int due, int faults, List<Bound> bounds) {
    public State {
      values = List.copyOf(values);
      groups = List.copyOf(groups);
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
