package stoplog.plants.judges;

/**
 * Truth as a library represents it: a node of a decision diagram, or a literal of a formula. What is
 * built of it is written once, for both.
 *
 * @param <B> a truth function of whatever the library's variables are
 */
interface Booleans<B> {
  B constant(boolean value);

  B not(B operand);

  B and(B left, B right);

  B or(B left, B right);

  default B same(B left, B right) {
    return or(and(left, right), and(not(left), not(right)));
  }

  default B choose(B condition, B then, B otherwise) {
    return or(and(condition, then), and(not(condition), otherwise));
  }
}
