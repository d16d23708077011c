package stoplog.checker.export;

import java.util.ArrayList;
import java.util.List;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * Terms as SMT-LIB 2.6 writes them. What is known already is worked out: {@code true}, {@code false} and
 * numbers are the terms that are known.
 */
final class Smt {
  static final String TRUE = "true";
  static final String FALSE = "false";

  private Smt() {}

  /** A name and what sort of thing it names. */
  record Name(String name, String sort) {
    @Override
    public String toString() {
      return "(" + name + " " + sort + ")";
    }
  }

  /** Names as they are declared where all values of them are meant. */
  static String declared(List<Name> names) {
    return "(" + String.join(" ", names.stream().map(Name::toString).toList()) + ")";
  }

  /** The comment that says what a text is about. */
  static String title(Model model, Claim claim) {
    String about = claim.text().isEmpty() ? "" : ": " + claim.text();
    return "; " + (model.name() + ", " + claim.id() + about).replaceAll("\\s+", " ");
  }

  static String symbol(String name) {
    return "|" + name.replace('|', '!').replace('\\', '/') + "|";
  }

  static boolean isBool(Variable v) {
    return v.size() == 2;
  }

  static String sort(Variable v) {
    return isBool(v) ? "Bool" : "Int";
  }

  static boolean isKnown(String term) {
    return term.equals(TRUE) || term.equals(FALSE) || Character.isDigit(term.charAt(0));
  }

  static String not(String term) {
    return term.equals(TRUE) ? FALSE : term.equals(FALSE) ? TRUE : "(not " + term + ")";
  }

  static String choice(String condition, String then, String otherwise) {
    if (isKnown(condition) || then.equals(otherwise)) {
      return condition.equals(FALSE) ? otherwise : then;
    }
    return "(ite " + condition + " " + then + " " + otherwise + ")";
  }

  static String equal(String left, String right) {
    if (isKnown(left) && isKnown(right)) {
      return left.equals(right) ? TRUE : FALSE;
    }
    return "(= " + left + " " + right + ")";
  }

  static String all(List<String> terms) {
    return joined("and", TRUE, FALSE, terms);
  }

  static String any(List<String> terms) {
    return joined("or", FALSE, TRUE, terms);
  }

  private static String joined(String operator, String none, String enough, List<String> terms) {
    List<String> open = terms.stream().filter(t -> !t.equals(none)).toList();
    if (open.contains(enough)) {
      return enough;
    }
    return switch (open.size()) {
      case 0 -> none;
      case 1 -> open.getFirst();
      default -> "(" + operator + " " + String.join(" ", open) + ")";
    };
  }

  /** Whether a number is one of these. */
  static String in(String number, long values) {
    if (isKnown(number)) {
      return (values >>> Integer.parseInt(number) & 1) != 0 ? TRUE : FALSE;
    }
    var among = new ArrayList<String>();
    for (int v = 0; v < Variable.MAX_VALUES; v++) {
      if ((values >>> v & 1) != 0) {
        among.add(equal(number, "" + v));
      }
    }
    return any(among);
  }

  /** Whether a Bool is one of these. */
  static String inBool(String term, long values) {
    boolean no = (values & 1) != 0;
    boolean yes = (values & 2) != 0;
    return no == yes ? (no ? TRUE : FALSE) : no ? not(term) : term;
  }

  /** Whether a name that stands for a value of the variable stands for one of these. */
  static String among(String name, Variable v, long values) {
    if (isBool(v)) {
      return inBool(name, values);
    }
    return values == v.domain() ? upTo(name, v.size() - 1) : in(name, values);
  }

  /** Whether at least so many of these hold. */
  static String atLeast(int many, List<String> terms) {
    if (many == 1) {
      return any(terms);
    }
    var ones = terms.stream().map(t -> choice(t, "1", "0")).toList();
    return "(<= " + many + " (+ 0 " + String.join(" ", ones) + "))";
  }

  /** Whether a number is 0 or more, and this at most. */
  static String upTo(String number, long most) {
    return "(<= 0 " + number + " " + most + ")";
  }

  /** Whether a reading is within the end of a window. */
  static String upTo(String reading, Bound end) {
    return "(" + (end.closed() ? "<= " : "< ") + reading + " " + end.quanta() + ".0)";
  }

  /** Whether a reading less another is at most, or below, so many quanta. */
  static String atMost(String reading, String other, long quanta, boolean attained) {
    String bound = quanta < 0 ? "(- " + -quanta + ".0)" : quanta + ".0";
    return "(" + (attained ? "<= " : "< ") + "(- " + reading + " " + other + ") " + bound + ")";
  }

  static String from(String reading, Bound begin) {
    return "(" + (begin.closed() ? ">= " : "> ") + reading + " " + begin.quanta() + ".0)";
  }

  /** A reading is 0 unless something holds. */
  static String onlyIf(String condition, String reading) {
    return any(List.of(condition, equal(reading, "0.0")));
  }
}
