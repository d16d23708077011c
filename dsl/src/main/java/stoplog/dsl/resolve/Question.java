package stoplog.dsl.resolve;

import java.util.List;

/** What a claim asks of the runs of the plant. */
public sealed interface Question {
  /** Its conditions, in the order written. */
  List<Term> conditions();

  /** {@code hazard ... : C for T}: no run holds C for longer than T. */
  record Hazard(Term condition) implements Question {
    @Override
    public List<Term> conditions() {
      return List.of(condition);
    }
  }

  /** {@code can C for T}: some run holds C for longer than T. */
  record Can(Term condition) implements Question {
    @Override
    public List<Term> conditions() {
      return List.of(condition);
    }
  }

  /**
   * {@code always can C}: from wherever the plant gets to, some run leads on to C; faults may
   * strike on the way there, not after.
   */
  record AlwaysCan(Term condition) implements Question {
    @Override
    public List<Term> conditions() {
      return List.of(condition);
    }
  }

  /**
   * {@code after A, B within T}: in every run, whenever A holds, B holds then or at most T later.
   */
  record Response(Term after, Term then) implements Question {
    @Override
    public List<Term> conditions() {
      return List.of(after, then);
    }
  }

  /**
   * {@code never together A, B, C}: no run holds any two of them at once for longer than an
   * instant.
   */
  record NeverTogether(List<Term> conditions) implements Question {
    public NeverTogether {
      conditions = List.copyOf(conditions);
    }
  }

  /**
   * {@code once A, B stays until C}: in every run, from any moment at which A holds and C does
   * not, B holds until C does. B may be missing for an instant, in which no time passes; C need
   * never come; where C has come, the next A begins anew.
   */
  record Stays(Term once, Term what, Term until) implements Question {
    @Override
    public List<Term> conditions() {
      return List.of(once, what, until);
    }
  }
}
