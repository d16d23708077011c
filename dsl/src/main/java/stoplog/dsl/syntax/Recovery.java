package stoplog.dsl.syntax;

import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.antlr.v4.runtime.DefaultErrorStrategy;
import org.antlr.v4.runtime.InputMismatchException;
import org.antlr.v4.runtime.NoViableAltException;
import org.antlr.v4.runtime.Parser;
import org.antlr.v4.runtime.ParserRuleContext;
import org.antlr.v4.runtime.RecognitionException;
import org.antlr.v4.runtime.Token;
import org.antlr.v4.runtime.misc.IntervalSet;
import stoplog.dsl.tree.PlantTree;

/**
 * One error for each bad entry, then on to the next entry.
 *
 * <p>An error leaves all rules up to the nearest <em>entry</em> (a declaration, a statement of the
 * logic, a line of a block). There it is told once, and tokens are skipped up to where the next
 * entry can begin: at a word that begins entries and is the first of its line, at the brace that
 * closes the block, or in any case at the next declaration. No token is ever made up.
 */
final class Recovery extends DefaultErrorStrategy {
  private static final Set<Integer> ENTRIES =
      Set.of(
          PlantParser.RULE_declaration,
          PlantParser.RULE_kindMember,
          PlantParser.RULE_answer,
          PlantParser.RULE_member,
          PlantParser.RULE_cause,
          PlantParser.RULE_levelMember,
          PlantParser.RULE_panelItem,
          PlantParser.RULE_logicItem,
          PlantParser.RULE_commandItem,
          PlantParser.RULE_alarmItem,
          PlantParser.RULE_sequenceItem,
          PlantParser.RULE_action,
          PlantParser.RULE_scenarioItem);
  private static final Set<Integer> BLOCKS =
      Set.of(
          PlantParser.RULE_templateBlock,
          PlantParser.RULE_kindBlock,
          PlantParser.RULE_answerBlock,
          PlantParser.RULE_equipmentBlock,
          PlantParser.RULE_causeBlock,
          PlantParser.RULE_levelBlock,
          PlantParser.RULE_panelBlock,
          PlantParser.RULE_logicBlock,
          PlantParser.RULE_commandBlock,
          PlantParser.RULE_alarmBlock,
          PlantParser.RULE_sequenceBlock,
          PlantParser.RULE_stepBlock,
          PlantParser.RULE_scenarioBlock);
  static final Set<Integer> DECLARING =
      Set.of(
          PlantParser.PLANT,
          PlantParser.CONTROLLER,
          PlantParser.POWER,
          PlantParser.INCLUDE,
          PlantParser.TEMPLATE,
          PlantParser.USE,
          PlantParser.KIND_OF,
          PlantParser.PIPE,
          PlantParser.CONDITION,
          PlantParser.COUNT,
          PlantParser.LEVEL,
          PlantParser.ANALOG,
          PlantParser.SWITCH,
          PlantParser.ANALYSER,
          PlantParser.TRANSMITTER,
          PlantParser.PANEL,
          PlantParser.LOGIC,
          PlantParser.SCENARIO,
          PlantParser.HAZARD,
          PlantParser.REQUIRE);
  private static final Set<Integer> ENTERING =
      Set.of(
          PlantParser.SELECTOR,
          PlantParser.BUTTON,
          PlantParser.HOLD_BUTTON,
          PlantParser.KEY,
          PlantParser.SETPOINT,
          PlantParser.LATCH,
          PlantParser.MEMORY,
          PlantParser.COUNTER,
          PlantParser.DUTY,
          PlantParser.ALARM,
          PlantParser.SEQUENCE,
          PlantParser.STEP,
          PlantParser.INITIAL,
          PlantParser.ENTRY,
          PlantParser.EXIT,
          PlantParser.HOLD,
          PlantParser.ABORT,
          PlantParser.MACRO,
          PlantParser.ACKNOWLEDGED,
          PlantParser.GIVEN,
          PlantParser.MAY,
          PlantParser.MUST,
          PlantParser.INITIALLY,
          PlantParser.JUMPS,
          PlantParser.MOVES,
          PlantParser.DRIVEN,
          PlantParser.PASSES,
          PlantParser.PUMPS,
          PlantParser.UNPOWERED,
          PlantParser.RETAINED,
          PlantParser.SIGNAL,
          PlantParser.PERMISSIVE,
          PlantParser.INTERLOCK,
          PlantParser.TRIP,
          PlantParser.FAILS,
          PlantParser.PROVES,
          PlantParser.STARTS,
          PlantParser.VERB);

  /** What is told of an error. */
  interface Listener {
    /**
     * @param entry first token of the entry in which the error is
     */
    void syntaxError(Token offending, IntervalSet expected, Token entry);
  }

  private final List<Token> tokens;
  private final Listener listener;
  private final Set<String> unread = new HashSet<>();
  private final Set<Integer> spoiled = new HashSet<>();
  private int lastError = -1;
  private boolean inTemplate;

  Recovery(List<Token> tokens, Listener listener) {
    this.tokens = tokens;
    this.listener = listener;
  }

  /** Every word of the passages that were skipped. */
  Set<String> unread() {
    return Collections.unmodifiableSet(unread);
  }

  /**
   * Whether an entry that was read is followed on its own line by something that begins no entry:
   * then it was meant to go on, and only that error is told of it. Its words count as unread.
   */
  boolean isSpoiled(ParserRuleContext entry) {
    int stop = entry.getStop().getTokenIndex();
    boolean is = spoiled.contains(stop);
    if (is) {
      unread(entry.getStart().getTokenIndex(), stop + 1);
    }
    return is;
  }

  private void unread(int begin, int end) {
    for (int i = begin; i < end; i++) {
      int type = tokens.get(i).getType();
      if (type == PlantParser.TAG
          || type == PlantParser.NAME
          || SyntaxMessages.ALSO_NAMES.contains(type)) {
        unread.add(tokens.get(i).getText());
      }
    }
    unread.add("");
  }

  @Override
  public void reportError(Parser recognizer, RecognitionException e) {
    // Told by recover, once, where the entry is known.
  }

  @Override
  public Token recoverInline(Parser recognizer) {
    throw new InputMismatchException(recognizer);
  }

  @Override
  public void recover(Parser recognizer, RecognitionException e) {
    ParserRuleContext rule = recognizer.getContext();
    if (!ENTRIES.contains(rule.getRuleIndex())) {
      throw e;
    }
    Token offending = e.getOffendingToken();
    // A choice that failed on a later token says nothing of what that token should have been.
    boolean late = e instanceof NoViableAltException n && n.getStartToken() != offending;
    IntervalSet expected = late ? null : e.getExpectedTokens();
    expected = expected == null ? new IntervalSet() : expected;
    inTemplate = rule.getParent() instanceof PlantParser.TemplateBlockContext;
    tell(recognizer, offending, expected, rule.getStart(), rule.getRuleIndex());
  }

  /** At the begin of each round of a block: a token that begins no entry is one bad entry. */
  @Override
  public void sync(Parser recognizer) {
    int rule = recognizer.getContext().getRuleIndex();
    if (!BLOCKS.contains(rule)) {
      return;
    }
    IntervalSet expected =
        recognizer.getATN().nextTokens(recognizer.getATN().states.get(recognizer.getState()));
    while (!expected.contains(recognizer.getInputStream().LA(1))
        && !expected.contains(Token.EPSILON)) {
      Token at = recognizer.getCurrentToken();
      int before = at.getTokenIndex();
      if (declares(before) || at.getType() == Token.EOF) {
        return;
      }
      tell(recognizer, at, expected, at, rule);
      if (recognizer.getCurrentToken().getTokenIndex() == before) {
        recognizer.consume();
      }
    }
  }

  private void tell(
      Parser recognizer, Token offending, IntervalSet expected, Token entry, int rule) {
    int error = offending.getTokenIndex();
    if (error != lastError) {
      listener.syntaxError(offending, expected, entry);
    }
    lastError = error;
    int begin = entry.getTokenIndex();
    int end = next(recognizer.getCurrentToken().getTokenIndex(), begin, rule);
    // Whatever happens, an entry uses up a token, so that reading ends.
    if (end == begin && end < tokens.size() - 1) {
      end++;
    }
    unread(begin, end);
    if (isUse(begin)) {
      unread.add(PlantTree.ANYTHING);
    }
    // A name may begin equipment, so one that does not is noticed a token later.
    if (error <= begin + 1 && !firstOfLine(begin)) {
      spoiled.add(begin - 1);
    }
    recognizer.getInputStream().seek(end);
  }

  /** Whether a use of a template begins here, which might declare any name. */
  private boolean isUse(int begin) {
    int type = tokens.get(begin).getType();
    return type == PlantParser.USE
        || type == PlantParser.NUMBER
            && begin + 1 < tokens.size()
            && tokens.get(begin + 1).getType() == PlantParser.OF;
  }

  /** Where reading goes on, for an error in the entry that begins at {@code begin}. */
  private int next(int current, int begin, int rule) {
    boolean whole = rule == PlantParser.RULE_declaration;
    int depth = 0;
    // What a template with an error in its head holds is declared only by its uses.
    if (whole && tokens.get(begin).getType() == PlantParser.TEMPLATE) {
      int block = block(current);
      if (block >= 0) {
        return block;
      }
    }
    for (int i = begin; i < current; i++) {
      depth += brace(i);
    }
    for (int i = current; ; i++) {
      int type = tokens.get(i).getType();
      if (type == Token.EOF) {
        return i;
      }
      boolean moved = i > begin;
      if (moved && declares(i)) {
        return i;
      }
      if (!whole && depth <= 0) {
        boolean ends = type == PlantParser.SEMICOLON && rule != PlantParser.RULE_logicItem;
        if (type == PlantParser.RIGHT_BRACE || ends || (moved && enters(i, rule))) {
          return i;
        }
      }
      depth += brace(i);
      if (whole && type == PlantParser.RIGHT_BRACE && depth <= 0) {
        // One that this declaration did not open closes the template around it.
        return depth < 0 && inTemplate ? i : i + 1;
      }
    }
  }

  /** Behind the block that opens before the next declaration; -1 if none does. */
  private int block(int from) {
    int i = from;
    while (tokens.get(i).getType() != PlantParser.LEFT_BRACE) {
      if (tokens.get(i).getType() == Token.EOF || i > from && declares(i)) {
        return -1;
      }
      i++;
    }
    for (int depth = 0; tokens.get(i).getType() != Token.EOF; i++) {
      depth += brace(i);
      if (depth == 0) {
        return i + 1;
      }
    }
    return -1;
  }

  private int brace(int i) {
    int type = tokens.get(i).getType();
    return type == PlantParser.LEFT_BRACE ? 1 : type == PlantParser.RIGHT_BRACE ? -1 : 0;
  }

  /** Whether a declaration begins here. */
  private boolean declares(int i) {
    int type = tokens.get(i).getType();
    return firstOfLine(i)
        && (DECLARING.contains(type) || type == PlantParser.KIND);
  }

  /** Whether an entry of a block begins here. Blocks of names and values have an entry a line. */
  private boolean enters(int i, int rule) {
    if (!firstOfLine(i)) {
      return false;
    }
    int type = tokens.get(i).getType();
    boolean lines =
        rule == PlantParser.RULE_member
            || rule == PlantParser.RULE_equipmentBlock
            || rule == PlantParser.RULE_levelMember
            || rule == PlantParser.RULE_levelBlock;
    return ENTERING.contains(type)
        || (lines && (type == PlantParser.NAME || type == PlantParser.NUMBER));
  }

  private boolean firstOfLine(int i) {
    return i == 0 || tokens.get(i - 1).getLine() < tokens.get(i).getLine();
  }
}
