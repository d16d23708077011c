package stoplog.checker.certificate;

import java.util.List;

/**
 * An expression of one step whose reads are told apart by when they happen: a variable before it is
 * assigned is one thing, and another afterwards. Terms are shared, so an expression used often is
 * looked at once.
 */
final class Term {
  /** What the value is made of. */
  enum Kind {
    /** {@link #set}: the values it may have. */
    FIXED,
    /** {@link #number}: a place among the values that are known. */
    KNOWN,
    /** {@link #number}: a place among the free choices; {@link #set}: the values to choose from. */
    FREE,
    NOT,
    ALL,
    ANY,
    /** {@link #set}: the values that count. */
    IN,
    SAME,
    CHOOSE,
    /** {@link #number}: by how much. */
    SHIFT,
    /** {@link #number}: how many must hold. */
    AT_LEAST
  }

  private static final long FALSE = 1;
  private static final long TRUE = 2;

  final Kind kind;
  final int number;
  final long set;
  final List<Term> of;

  // Of the evaluation, the count and the look for a choice last made.
  private long worth;
  private long evaluated;
  private int counted;
  private int countedTimes;
  private long searched;

  Term(Kind kind, int number, long set, List<Term> of) {
    this.kind = kind;
    this.number = number;
    this.set = set;
    this.of = of;
  }

  static Term fixed(long set) {
    return new Term(Kind.FIXED, 0, set, List.of());
  }

  /** What a term is evaluated with: values by place, and choices by place, -1 where open. */
  static final class Values {
    final int[] known;
    final int[] chosen;
    long turn;

    Values(int known, int chosen) {
      this.known = new int[known];
      this.chosen = new int[chosen];
    }
  }

  /**
   * The values it may have, as a set; no fewer than there are. Exact if no open choice is read twice.
   *
   * @param in its turn is raised whenever its values have changed
   */
  long possible(Values in) {
    if (evaluated != in.turn) {
      worth = evaluate(in);
      evaluated = in.turn;
    }
    return worth;
  }

  private long evaluate(Values in) {
    return switch (kind) {
      case FIXED -> set;
      case KNOWN -> 1L << in.known[number];
      case FREE -> in.chosen[number] < 0 ? set : 1L << in.chosen[number];
      case NOT -> {
        long o = of.getFirst().possible(in);
        yield (o & FALSE) << 1 | (o & TRUE) >> 1;
      }
      case ALL -> {
        long result = TRUE;
        for (Term t : of) {
          long o = t.possible(in);
          if (o == FALSE) {
            yield FALSE;
          }
          result = (o & TRUE) == 0 ? result & ~TRUE : result;
          result |= o & FALSE;
        }
        yield result;
      }
      case ANY -> {
        long result = FALSE;
        for (Term t : of) {
          long o = t.possible(in);
          if (o == TRUE) {
            yield TRUE;
          }
          result = (o & FALSE) == 0 ? result & ~FALSE : result;
          result |= o & TRUE;
        }
        yield result;
      }
      case IN -> {
        long o = of.getFirst().possible(in);
        yield ((o & set) != 0 ? TRUE : 0) | ((o & ~set) != 0 ? FALSE : 0);
      }
      case SAME -> {
        long left = of.getFirst().possible(in);
        long right = of.getLast().possible(in);
        boolean one = Long.bitCount(left | right) == 1;
        yield ((left & right) != 0 ? TRUE : 0) | (one ? 0 : FALSE);
      }
      case CHOOSE -> {
        long when = of.getFirst().possible(in);
        yield ((when & TRUE) != 0 ? of.get(1).possible(in) : 0)
            | ((when & FALSE) != 0 ? of.get(2).possible(in) : 0);
      }
      case SHIFT -> shifted(of.getFirst().possible(in), number);
      case AT_LEAST -> {
        int sure = 0;
        int perhaps = 0;
        for (Term t : of) {
          long o = t.possible(in);
          sure += o == TRUE ? 1 : 0;
          perhaps += (o & TRUE) != 0 ? 1 : 0;
        }
        yield (perhaps >= number ? TRUE : 0) | (sure < number ? FALSE : 0);
      }
    };
  }

  private static long shifted(long set, int by) {
    return by >= 0 ? set << by : set >>> -by;
  }

  /** The values it has in any case, whatever its reads are. */
  long range(long[] domainOfKnown) {
    return switch (kind) {
      case FIXED, FREE -> set;
      case KNOWN -> domainOfKnown[number];
      case CHOOSE -> of.get(1).range(domainOfKnown) | of.get(2).range(domainOfKnown);
      case SHIFT -> shifted(of.getFirst().range(domainOfKnown), number);
      case NOT, ALL, ANY, IN, SAME, AT_LEAST -> FALSE | TRUE;
    };
  }

  /** Adds how often each free choice is read; of something used twice, all is read twice. */
  void count(int[] reads, int turn) {
    countedTimes = counted == turn ? countedTimes + 1 : 1;
    counted = turn;
    if (countedTimes > 2) {
      return;
    }
    if (kind == Kind.FREE) {
      reads[number]++;
    }
    of.forEach(t -> t.count(reads, turn));
  }

  /**
   * A choice that bears on the value and is read elsewhere too, so that it has to be made; -1 if there
   * is none and {@link #possible} is exact.
   *
   * @param reads how often each choice is read from here on
   */
  int undecided(Values in, int[] reads) {
    if (searched == in.turn || Long.bitCount(possible(in)) == 1) {
      return -1;
    }
    searched = in.turn;
    if (kind == Kind.FREE) {
      return reads[number] > 1 ? number : -1;
    }
    int first = -1;
    for (int i = 0; i < of.size() && first < 0; i++) {
      long when = kind == Kind.CHOOSE && i > 0 ? of.getFirst().possible(in) : FALSE | TRUE;
      if ((when & (i == 1 ? TRUE : FALSE)) != 0) {
        first = of.get(i).undecided(in, reads);
      }
    }
    return first;
  }
}
