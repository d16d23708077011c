package stoplog.checker.explore;

/**
 * Which steps need not be taken from a state because what they lead to is known by then: sleep sets
 * (Godefroid, Partial-Order Methods for the Verification of Concurrent Systems, 1996), for searches
 * whose states have one node each. All states are found all the same, in the same order and from
 * the same states by the same steps.
 *
 * <p>A step <em>moves before</em> another if wherever it can be taken after it, it can be taken
 * before it, the other then after it, and both orders lead to the same state. Let q be a state
 * first found from p by a step b. Step a sleeps in q if it
 *
 * <ul>
 *   <li>is handed out before b, or sleeps in p, and moves before b; or
 *   <li>undoes b: wherever it can be taken after b, it leads back.
 * </ul>
 *
 * <p>INVARIANT (asleep is known): when the steps from q are taken in, a sleeping one that can be
 * taken leads to a state found before. If it undoes b, that is p. Else it can be taken in p and
 * leads to a state r there, from which b leads to the state in question. When q is found, r has
 * been found: by a, handed out before b, or as the invariant says of p. It is not q, which is new
 * then. So r was found before q, its steps are taken in before those of q, and b is one of them or
 * sleeps in r.
 *
 * <p>Steps that may sleep have one bit of a {@code long} each; a set of 0 is always right.
 * Immutable.
 */
public final class SleepSets {
  private final long[] fall;
  private final long[] stay;

  /**
   * @param fall by step, the steps that fall asleep by it
   * @param stay by step, the steps that stay asleep if they were before it
   */
  public SleepSets(long[] fall, long[] stay) {
    this.fall = fall.clone();
    this.stay = stay.clone();
  }

  /** The steps that sleep in a state first found by this step from one where those given sleep. */
  long after(int step, long asleep) {
    return fall[step] | asleep & stay[step];
  }
}
