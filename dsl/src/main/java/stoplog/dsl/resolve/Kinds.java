package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.PlantTree;
import stoplog.source.Span;

/** The kinds of equipment of one plant: those that ship with the language, and its own. */
final class Kinds {
  private final Map<String, Kind> kinds;
  private final Set<String> broken = new HashSet<>();

  private Kinds(Map<String, Kind> shipped) {
    this.kinds = new LinkedHashMap<>(shipped);
  }

  /** A plant's own kinds take the place of shipped ones of the same name; that is noted. */
  static Kinds of(PlantTree tree, Map<String, Kind> shipped, List<Diagnostic> diagnostics) {
    var all = new Kinds(shipped);
    Map<String, Span> own = new HashMap<>();
    for (Declaration d : tree.declarations()) {
      if (!(d instanceof Declaration.KindOf k)) {
        continue;
      }
      String word = k.name().text();
      Span before = own.putIfAbsent(word, k.name().span());
      if (before != null) {
        diagnostics.add(
            Diagnostic.of(
                    Code.DECLARED_TWICE, k.name().span(), "`" + word + "` is declared twice")
                .withLabel("second time, as a kind of equipment")
                .withRelated(before, "first time")
                .withWhy("one name stands for one thing"));
        continue;
      }
      if (shipped.containsKey(word)) {
        diagnostics.add(
            Diagnostic.of(
                    Code.KIND_REPLACED,
                    k.name().span(),
                    "this takes the place of the `" + word + "` that ships with the language")
                .withWhy("every `" + word + "` of this plant is of the kind described here"));
      }
      // Where something could not be read, what is missing from a kind would be told a second time.
      List<Diagnostic> told = tree.isWhole() ? diagnostics : new ArrayList<>();
      Kind kind = KindResolver.resolve(k, told);
      if (kind == null) {
        all.broken.add(word);
      } else {
        all.kinds.put(word, kind);
      }
    }
    return all;
  }

  @Nullable Kind named(String word) {
    return broken.contains(word) ? null : kinds.get(word);
  }

  /** Whether a kind of this name was declared, but wrongly, and that was told. */
  boolean isBroken(String word) {
    return broken.contains(word);
  }

  Collection<String> words() {
    return kinds.keySet();
  }
}
