package stoplog.dsl.resolve;

import java.util.Collection;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Closest;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.PlantTree;
import stoplog.dsl.tree.Word;

/** All names of a plant and what they stand for. */
public final class Scope {
  /** Each search for a close name looks at all names; a text with more unknown names gets none. */
  private static final int MAX_GUESSES = 50;

  /** More tags than these are no help. */
  private static final int MAX_LIKELY = 6;

  private final Map<String, Symbol> symbols = new LinkedHashMap<>();
  private final Set<String> unread;
  private final List<Pattern> openWords;
  private final List<Diagnostic> diagnostics;
  private int guesses;

  Scope(Set<String> unread, List<Diagnostic> diagnostics) {
    this.unread = new HashSet<>(unread);
    // A word of a template that could not be read stands for every word it might be filled to.
    this.openWords =
        unread.stream()
            .filter(w -> w.contains("{"))
            .limit(MAX_GUESSES)
            .map(w -> Pattern.compile(w.replaceAll("\\{[^}]*\\}", "[A-Za-z0-9_]*")))
            .toList();
    this.diagnostics = diagnostics;
  }

  /** Whether this is the first thing of its name; if not, that is told. */
  boolean add(Symbol symbol) {
    Symbol first = symbols.putIfAbsent(symbol.name().text(), symbol);
    if (first == null) {
      return true;
    }
    diagnostics.add(
        Diagnostic.of(
                Code.DECLARED_TWICE,
                symbol.name().span(),
                "`" + symbol.name() + "` is declared twice")
            .withLabel("second time, as " + symbol.what())
            .withRelated(first.name().span(), "first time, as " + first.what())
            .withWhy("one name stands for one thing")
            .withFix("another name for one of them"));
    return false;
  }

  /** Something of this name was declared, but wrongly, and that was told: it is no unknown name. */
  void forgive(String name) {
    unread.add(name);
  }

  /** The thing of this name; if there is none, that is told where the name stands first. */
  @Nullable Symbol find(Word name) {
    Symbol found = symbols.get(name.text());
    if (found == null && !mayBeUnread(name.text()) && unread.add(name.text())) {
      Diagnostic d =
          Diagnostic.of(Code.UNKNOWN_NAME, name.span(), "nothing is called `" + name + "`");
      diagnostics.add(++guesses > MAX_GUESSES ? d : withLikely(d, name.text()));
    }
    return found;
  }

  /** With the one name that is clearly closest; with several tags that are like it, if there are few. */
  private Diagnostic withLikely(Diagnostic d, String name) {
    Diagnostic suggested = Closest.suggested(d, name, symbols.keySet());
    int dash = name.indexOf('-');
    if (suggested != d || dash < 0) {
      return suggested;
    }
    List<String> likely =
        symbols.values().stream()
            .filter(s -> !(s instanceof Symbol.Claim || s instanceof Symbol.Scenario))
            .map(s -> s.name().text())
            .filter(s -> isLike(s, name, dash))
            .toList();
    return likely.isEmpty() || likely.size() > MAX_LIKELY
        ? d
        : d.withLabel((likely.size() == 1 ? "there is " : "there are ") + String.join(", ", likely));
  }

  /** Whether one tag has the letters of another, or its number. */
  private static boolean isLike(String tag, String name, int dash) {
    return tag.startsWith(name.substring(0, dash + 1)) || tag.endsWith(name.substring(dash));
  }

  /** Whether something of this name may stand in a part of the text that could not be read. */
  private boolean mayBeUnread(String name) {
    return name.indexOf('{') >= 0
        || unread.contains(PlantTree.ANYTHING)
        || openWords.stream().anyMatch(w -> w.matcher(name).matches());
  }

  /** The thing of this name, or {@code null}, without a word. */
  public @Nullable Symbol peek(String name) {
    return symbols.get(name);
  }

  /** The symbol declared at exactly this place; {@code null} if another has the name. */
  @Nullable Symbol declaredAt(Word name) {
    Symbol s = symbols.get(name.text());
    return s != null && s.name().span().equals(name.span()) ? s : null;
  }

  public Collection<Symbol> all() {
    return symbols.values();
  }
}
