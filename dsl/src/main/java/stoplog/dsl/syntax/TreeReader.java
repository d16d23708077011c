package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.antlr.v4.runtime.Token;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.diag.Uses;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.PlantTree;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/** Reads a plant text, and the files it includes, into one syntax tree. */
public final class TreeReader {
  /** So many errors are told of one file; a file with more is no plant that someone is writing. */
  static final int MAX_ERRORS = 20;

  private final Includes includes;
  private final List<Parsed> files = new ArrayList<>();
  private final Map<PlantParser.DeclarationContext, Parsed> included = new HashMap<>();

  private TreeReader(Includes includes) {
    this.includes = includes;
  }

  /** A text that includes no others. */
  public static PlantTree read(SourceFile file, List<Diagnostic> diagnostics) {
    Includes none =
        (from, path, at, told) -> {
          told.add(
              Diagnostic.of(Code.NO_SUCH_FILE, at, "there is no file to include from here")
                  .withWhy("this text stands in no directory"));
          return new Includes.Missing();
        };
    return read(file, none, diagnostics);
  }

  /**
   * The tree of everything that could be read; what could not is told in {@code diagnostics}. What
   * an included file declares stands where it is included. Linear in the size of the texts and of
   * what their templates bring.
   */
  public static PlantTree read(
      SourceFile file, Includes includes, List<Diagnostic> diagnostics) {
    return new TreeReader(includes).run(file, diagnostics);
  }

  private PlantTree run(SourceFile file, List<Diagnostic> diagnostics) {
    Parsed main = parse(file);
    open(main);
    var declarations = new ArrayList<Declaration>();
    build(main, new Templates(files), declarations);
    var unread = new HashSet<String>();
    for (Parsed p : files) {
      diagnostics.addAll(firstErrors(p));
      unread.addAll(p.unread());
      unread.addAll(p.recovery().unread());
    }
    return new PlantTree(file, declarations, unread);
  }

  private static Parsed parse(SourceFile file) {
    var found = new ArrayList<Diagnostic>();
    ParsedText text = ParsedText.of(file, MAX_ERRORS, found);
    Offsets offsets = text.offsets();
    Recovery recovery = text.recovery();
    List<PlantParser.DeclarationContext> read = text.declarations();
    if (text.tokens().isEmpty()) {
      return new Parsed(file, offsets, recovery, read, found, new HashSet<>(Set.of("")));
    }
    read.removeIf(d -> d.exception != null || recovery.isSpoiled(d));
    return new Parsed(file, offsets, recovery, read, found, new HashSet<>(recovery.unread()));
  }

  /** Reads what a file includes, and what that includes. Circles end: each file is read once. */
  private void open(Parsed file) {
    files.add(file);
    for (PlantParser.DeclarationContext d : file.declarations()) {
      if (d.include() == null) {
        continue;
      }
      Token written = d.include().STRING().getSymbol();
      String path = written.getText().substring(1, written.getText().length() - 1);
      Span at = file.offsets().span(written, written);
      switch (includes.open(file.file(), path, at, file.found())) {
        case Includes.Text t -> {
          Parsed inner = parse(t.file());
          included.put(d, inner);
          open(inner);
        }
        case Includes.Known k -> {}
        case Includes.Missing m -> file.unread().add(PlantTree.ANYTHING);
      }
    }
  }

  private void build(Parsed file, Templates templates, List<Declaration> declarations) {
    var builder = new TreeBuilder(file, file.offsets(), Filling.NONE, templates);
    for (PlantParser.DeclarationContext d : file.declarations()) {
      if (included.containsKey(d)) {
        build(Objects.requireNonNull(included.get(d)), templates, declarations);
      } else {
        builder.declare(d, declarations);
      }
    }
  }

  private static List<Diagnostic> firstErrors(Parsed file) {
    List<Diagnostic> found = Uses.distinct(file.found());
    if (found.size() <= MAX_ERRORS) {
      return found;
    }
    Span from = found.get(MAX_ERRORS).span();
    var first = new ArrayList<>(found.subList(0, MAX_ERRORS));
    Span rest = new Span(file.file(), from.start(), from.start());
    first.add(
        Diagnostic.of(Code.TOO_MANY, rest, "too many errors; the text from here on was not read"));
    file.unread().add("");
    return first;
  }
}
