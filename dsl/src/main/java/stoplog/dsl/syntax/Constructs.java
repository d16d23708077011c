package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import org.antlr.v4.runtime.ParserRuleContext;
import org.antlr.v4.runtime.atn.ATNState;
import org.antlr.v4.runtime.atn.RuleTransition;
import org.antlr.v4.runtime.atn.Transition;
import org.antlr.v4.runtime.tree.ParseTree;
import org.antlr.v4.runtime.tree.TerminalNode;
import stoplog.diag.Diagnostic;
import stoplog.source.SourceFile;

/**
 * What the grammar offers and what of it a text uses: each of its rules, and in each rule each word, sign, kind of
 * token and other rule that may stand there. {@code counter 'down'} is a construct, {@code latch 'retained'} another
 * one than {@code memory 'retained'}, and {@code argument window} another one than {@code argument STRING}.
 */
public final class Constructs {
  /** In these rules words of the language stand as names of things, which is no use of them. */
  private static final Set<String> OF_NAMES = Set.of("name", "unit");

  private Constructs() {}

  /** All that the grammar offers. */
  public static SortedSet<String> all() {
    var all = new TreeSet<String>(List.of(PlantParser.ruleNames));
    for (ATNState state : PlantParser._ATN.states) {
      for (Transition transition : state.getTransitions()) {
        if (transition instanceof RuleTransition r) {
          add(all, state.ruleIndex, PlantParser.ruleNames[r.target.ruleIndex]);
        } else if (transition.label() != null) {
          transition.label().toList().forEach(type -> add(all, state.ruleIndex, type));
        }
      }
    }
    return Collections.unmodifiableSortedSet(all);
  }

  /**
   * What a text uses, templates as they are written.
   *
   * @throws IllegalArgumentException if it has errors of spelling or grammar
   */
  public static SortedSet<String> in(SourceFile file) {
    List<Diagnostic> diagnostics = new ArrayList<>();
    ParsedText parsed = ParsedText.of(file, TreeReader.MAX_ERRORS, diagnostics);
    if (!diagnostics.isEmpty()) {
      throw new IllegalArgumentException(diagnostics.toString());
    }
    var used = new TreeSet<String>();
    parsed.declarations().forEach(d -> visit(d, used));
    return Collections.unmodifiableSortedSet(used);
  }

  private static void visit(ParserRuleContext context, Set<String> used) {
    used.add(PlantParser.ruleNames[context.getRuleIndex()]);
    for (ParseTree child : context.children) {
      if (child instanceof ParserRuleContext c) {
        add(used, context.getRuleIndex(), PlantParser.ruleNames[c.getRuleIndex()]);
        visit(c, used);
      } else if (child instanceof TerminalNode t) {
        add(used, context.getRuleIndex(), t.getSymbol().getType());
      }
    }
  }

  private static void add(Set<String> constructs, int rule, int type) {
    if (type > 0 && !OF_NAMES.contains(PlantParser.ruleNames[rule])) {
      add(constructs, rule, PlantParser.VOCABULARY.getDisplayName(type));
    }
  }

  private static void add(Set<String> constructs, int rule, String part) {
    constructs.add(PlantParser.ruleNames[rule] + " " + part);
  }
}
