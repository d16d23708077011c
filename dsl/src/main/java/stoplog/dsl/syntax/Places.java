package stoplog.dsl.syntax;

import java.util.Map;
import java.util.Set;
import org.antlr.v4.runtime.ParserRuleContext;

/** Where a line may be broken, where a space stands and what stands in columns, by the grammar. */
final class Places {
  private Places() {}

  /**
   * How a piece is bound to the one before it; see {@link Outline.Piece}.
   *
   * @param breaking 0 for never apart
   */
  record Lead(int breaking, boolean keeps, int column) {
    static final Lead NONE = new Lead(0, false, 0);
    static final Lead CLAUSE = new Lead(1, false, 0);
    static final Lead CHOSEN = new Lead(1, true, 0);

    static Lead inside(int level) {
      return new Lead(level, false, 0);
    }

    /** The looser of two, and the column of either. */
    Lead or(Lead other) {
      int least =
          breaking == 0 || other.breaking == 0
              ? Math.max(breaking, other.breaking)
              : Math.min(breaking, other.breaking);
      return new Lead(least, keeps || other.keeps, Math.max(column, other.column));
    }
  }

  /** Clauses: rules whose first word begins one. */
  private static final Set<String> CLAUSES = Set.of("side", "deadBand", "resetBy", "bypass", "dominance");

  /** Clauses: words that begin one, each behind the rule they stand in. */
  private static final Set<String> CLAUSE_WORDS =
      Set.of(
          "switchInstrument follows", "switchInstrument within", "transmitter follows",
          "transmitter within", "setpoint within", "setpoint entered", "movement while",
          "rate while", "free while", "movesOneStep when", "transition when", "transition after",
          "latch set", "latch cleared", "counter down", "counter cleared", "duty alternates", "memory starts",
          "assignment when", "pipe through", "pipe to", "seen see", "kindPasses while",
          "kindPasses unless");

  /** Clauses before which a line break is the author's choice. */
  private static final Set<String> CHOSEN_WORDS =
      Set.of("condition comes", "condition holds", "promise within", "promise stays");

  /** Behind these stands a condition that would rather stay with them. */
  private static final Set<String> RATHER_NOT =
      Set.of("latch when", "command when", "drive when", "hold when", "abort when", "atState when");

  /** Signs that have a space before their colon: what they head is a sentence, not a list. */
  private static final Set<String> SPACED_COLON = Set.of("hazard", "requirement", "inhibit", "alarm");

  private static final Set<String> TIGHT_PARENTHESES = Set.of("parameters", "arguments");

  /** The second and third word of these are columns 1 and 2. */
  private static final Set<String> TAGGED =
      Set.of(
          "equipment", "condition", "switchInstrument", "analyser", "transmitter", "setpoint",
          "alarm", "hazard", "requirement");

  private static final Map<String, Integer> COLUMNS =
      Map.ofEntries(
          Map.entry("equipment {", 3),
          Map.entry("equipment byHand", 3),
          Map.entry("condition {", 3),
          Map.entry("condition comes", 3),
          Map.entry("condition holds", 3),
          Map.entry("switchInstrument wiring", 3),
          Map.entry("switchInstrument follows", 4),
          Map.entry("switchInstrument within", 5),
          Map.entry("analyser in", 3),
          Map.entry("analyser side", 4),
          Map.entry("side within", 5),
          Map.entry("transmitter in", 3),
          Map.entry("transmitter follows", 4),
          Map.entry("transmitter within", 5),
          Map.entry("transmitter deadBand", 6),
          Map.entry("setpoint =", 3),
          Map.entry("setpoint within", 4),
          Map.entry("setpoint entered", 5),
          Map.entry("pipe through", 1),
          Map.entry("pipe to", 2),
          Map.entry("inhibit :", 2),
          Map.entry("alarm :", 3),
          Map.entry("hazard :", 3),
          Map.entry("requirement :", 3),
          Map.entry("transition to", 1),
          Map.entry("transition when", 2),
          Map.entry("transition after", 3),
          Map.entry("step {", 3));

  /** The name of a rule as the grammar has it. */
  static String rule(ParserRuleContext context) {
    return PlantParser.ruleNames[context.getRuleIndex()];
  }

  /** What the first word of a rule is to the word before. */
  static Lead lead(ParserRuleContext context, String entry, int index) {
    if (index == 0) {
      return Lead.NONE;
    }
    String rule = rule(context);
    String parent = context.getParent() == null ? "" : rule(context.getParent());
    boolean claim =
        rule.equals("claimOption")
            || rule.equals("promise")
            || (rule.equals("expression") && parent.equals("hazard"));
    Lead binding = claim ? Lead.CHOSEN : CLAUSES.contains(rule) ? Lead.CLAUSE : Lead.NONE;
    return binding.or(new Lead(0, false, column(entry, rule)));
  }

  /** What a word is to the word before it. */
  static Lead lead(
      ParserRuleContext context, String text, String before, int index, int parentheses) {
    if (index == 0) {
      return Lead.NONE;
    }
    String rule = rule(context);
    String key = rule + " " + text;
    int depth = 2 * parentheses;
    if (CHOSEN_WORDS.contains(key)) {
      return Lead.CHOSEN;
    } else if (CLAUSE_WORDS.contains(key)) {
      return Lead.CLAUSE;
    } else if (before.equals(",")) {
      return ofPromise(context) && parentheses == 0 ? Lead.CHOSEN : Lead.inside(2 + depth);
    }
    return switch (key) {
      case "disjunction or", "kindWhen and" -> Lead.inside(2 + depth);
      case "conjunction and" -> Lead.inside(3 + depth);
      case "expression for", "held held", "expression from" -> Lead.inside(4 + depth);
      default ->
          RATHER_NOT.contains(key) || (before.equals(":") && parentheses == 0)
              ? Lead.inside(3)
              : Lead.NONE;
    };
  }

  /** The column a word begins, if it stands directly in the entry. */
  static Lead columnLead(
      ParserRuleContext context, String text, String entry, int type, int index) {
    String rule = rule(context);
    boolean direct = rule.equals(entry) || (rule.equals("side") && entry.equals("analyser"));
    int column = direct ? column(rule, text) : 0;
    // Where the clause before it is missing, a clause stands in its place, so that no gap is left.
    if (context instanceof PlantParser.TransitionContext t && text.equals("after") && t.WHEN() == null) {
      column = column(rule, "when");
    } else if (context instanceof PlantParser.PipeContext p && text.equals("to") && p.TAG().isEmpty()) {
      column = column(rule, "through");
    }
    if (TAGGED.contains(entry) && index == 1) {
      column = 1;
    } else if (entry.equals("inhibit") && index == 1) {
      column = 1;
    } else if (TAGGED.contains(entry) && index == 2 && type == PlantParser.STRING) {
      column = 2;
    } else if (entry.equals("step") && type == PlantParser.STRING) {
      column = 2;
    }
    return new Lead(0, false, column);
  }

  /** The column that a word, or the first word of a rule, begins in an entry; 0 for none. */
  static int column(String entry, String what) {
    return COLUMNS.getOrDefault(entry + " " + what, 0);
  }

  private static boolean ofPromise(ParserRuleContext context) {
    for (ParserRuleContext c = context; c != null; c = c.getParent()) {
      if (rule(c).equals("promise")) {
        return true;
      } else if (rule(c).equals("claimOption")) {
        return false;
      }
    }
    return false;
  }

  /** Whether a space stands before a word on its line. */
  static boolean spaced(ParserRuleContext context, String before, String text) {
    String rule = rule(context);
    return switch (text) {
      case ",", ";", ")", ".." -> false;
      case ":" -> SPACED_COLON.contains(rule);
      case "(" -> !before.equals("(") && !TIGHT_PARENTHESES.contains(rule);
      default ->
          !before.isEmpty()
              && !before.equals("(")
              && !before.equals("..")
              && !(before.equals("-") && rule.equals("number"));
    };
  }

  /** Whether a rule is a clause of an entry behind a semicolon. */
  static boolean beginsBehindSemicolon(ParserRuleContext context) {
    return rule(context).equals("dominance");
  }

  /** Whether a word begins a clause of an entry behind a semicolon. */
  static boolean followsSemicolon(ParserRuleContext context, String text) {
    return switch (rule(context) + " " + text) {
      case "latch cleared", "counter down", "counter cleared", "duty alternates" -> true;
      default -> false;
    };
  }
}
