package stoplog.dsl.resolve;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.MathContext;

/** An exact fraction, in lowest terms with a positive denominator. */
public record Ratio(BigInteger numerator, BigInteger denominator) implements Comparable<Ratio> {
  public static final Ratio ZERO = of(0);
  public static final Ratio ONE = of(1);

  /**
   * @throws ArithmeticException if the denominator is 0
   */
  public Ratio {
    if (denominator.signum() == 0) {
      throw new ArithmeticException("fraction with denominator 0");
    }
    BigInteger common = numerator.gcd(denominator);
    common = denominator.signum() < 0 ? common.negate() : common;
    numerator = numerator.divide(common);
    denominator = denominator.divide(common);
  }

  public static Ratio of(long whole) {
    return new Ratio(BigInteger.valueOf(whole), BigInteger.ONE);
  }

  public static Ratio of(long numerator, long denominator) {
    return new Ratio(BigInteger.valueOf(numerator), BigInteger.valueOf(denominator));
  }

  public static Ratio of(BigDecimal decimal) {
    return decimal.scale() <= 0
        ? new Ratio(decimal.toBigIntegerExact(), BigInteger.ONE)
        : new Ratio(decimal.unscaledValue(), BigInteger.TEN.pow(decimal.scale()));
  }

  public Ratio plus(Ratio other) {
    return new Ratio(
        numerator.multiply(other.denominator).add(other.numerator.multiply(denominator)),
        denominator.multiply(other.denominator));
  }

  public Ratio minus(Ratio other) {
    return plus(other.negated());
  }

  public Ratio times(Ratio other) {
    return new Ratio(numerator.multiply(other.numerator), denominator.multiply(other.denominator));
  }

  /**
   * @throws ArithmeticException if the divisor is 0
   */
  public Ratio dividedBy(Ratio divisor) {
    return new Ratio(
        numerator.multiply(divisor.denominator), denominator.multiply(divisor.numerator));
  }

  public Ratio negated() {
    return new Ratio(numerator.negate(), denominator);
  }

  public Ratio abs() {
    return numerator.signum() < 0 ? negated() : this;
  }

  public int signum() {
    return numerator.signum();
  }

  public boolean isWhole() {
    return denominator.equals(BigInteger.ONE);
  }

  /** The greatest whole number not above this. */
  public BigInteger floor() {
    BigInteger[] parts = numerator.divideAndRemainder(denominator);
    return parts[1].signum() < 0 ? parts[0].subtract(BigInteger.ONE) : parts[0];
  }

  /** The least whole number not below this. */
  public BigInteger ceiling() {
    return negated().floor().negate();
  }

  @Override
  public int compareTo(Ratio other) {
    return numerator.multiply(other.denominator).compareTo(other.numerator.multiply(denominator));
  }

  /** As a decimal number for people, to 7 digits where it is not exact. */
  @Override
  public String toString() {
    return new BigDecimal(numerator)
        .divide(new BigDecimal(denominator), MathContext.DECIMAL32)
        .stripTrailingZeros()
        .toPlainString();
  }
}
