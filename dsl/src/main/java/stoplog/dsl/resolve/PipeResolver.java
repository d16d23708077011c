package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Closest;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Declaration.PipeEnd;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/**
 * Pipes, and what is asked of them: {@code open path from A to B}, {@code flow from A to B}, {@code
 * P-1 is dead_headed}, {@code P-1 is dry}. All of these are truths about positions.
 */
final class PipeResolver {
  /** It pumps, and nothing that it pumps can go anywhere. */
  static final String DEAD_HEADED = "dead_headed";

  /** It pumps, and nothing can come to it. */
  static final String DRY = "dry";

  private final Scope scope;
  private final List<Diagnostic> diagnostics;
  private final PipeNetwork network = new PipeNetwork();
  private final Map<String, Symbol.Equipment> pumping = new LinkedHashMap<>();
  private final Map<String, Span> drawnAt = new LinkedHashMap<>();
  private final Set<String> asked = new HashSet<>();
  private boolean drawn;
  private boolean sound = true;

  PipeResolver(Scope scope, List<Diagnostic> diagnostics) {
    this.scope = scope;
    this.diagnostics = diagnostics;
  }

  /** Draws all pipes. All names must be declared. Linear. */
  void draw(List<Declaration> declarations) {
    for (Declaration d : declarations) {
      if (d instanceof Declaration.Pipe p) {
        drawn = true;
        pipe(p);
      }
    }
    network.finish();
  }

  private void pipe(Declaration.Pipe p) {
    String at = end(p.from(), true, true);
    for (Word tag : p.through()) {
      Symbol.Equipment e = through(tag);
      if (e == null) {
        sound = false;
        continue;
      }
      if (at != null) {
        network.join(at, PipeNetwork.inlet(e));
      }
      at = PipeNetwork.outlet(e);
    }
    String end = end(p.to(), false, true);
    if (at != null && end != null) {
      network.join(at, end);
    }
    sound &= at != null && end != null;
  }

  private Symbol.@Nullable Equipment through(Word tag) {
    Symbol symbol = scope.find(tag);
    if (symbol instanceof Symbol.Equipment e && e.kind().ports().isEmpty()) {
      add(e, tag.span());
      return e;
    } else if (symbol instanceof Symbol.Equipment e) {
      tellPort(e, tag.span(), "a pipe ends at each of its ports: `... to " + tag + " at " + port(e) + "`");
    } else if (symbol != null) {
      tellNoPart(tag, symbol);
    }
    return null;
  }

  private void add(Symbol.Equipment e, Span at) {
    network.add(e);
    drawnAt.putIfAbsent(e.name().text(), at);
    if (e.kind().pumps() != 0) {
      pumping.put(e.name().text(), e);
    }
  }

  /**
   * The place that is meant; {@code null} if it is none, which is told.
   *
   * @param begins whether something goes from there
   * @param draws whether a pipe is drawn; else a claim asks for a place that must be known
   */
  private @Nullable String end(PipeEnd end, boolean begins, boolean draws) {
    Word name = end.name();
    Symbol symbol = scope.peek(name.text());
    if (symbol instanceof Symbol.Equipment e) {
      return equipmentEnd(e, end, begins, draws);
    }
    if (end.port() != null) {
      diagnostics.add(
          Diagnostic.of(
              Code.NO_SUCH_PORT, end.port().span(), "`" + name + "` is no equipment with ports"));
      return null;
    }
    if (draws) {
      boolean tag = Character.isUpperCase(name.text().charAt(0));
      if (tag && symbol != null && !(symbol instanceof Symbol.Level)) {
        tellNoPart(name, symbol);
        return null;
      }
      network.point(name.text(), begins, tag);
    } else if (!network.knows(name.text())) {
      tellUnknown(name);
      return null;
    }
    return name.text();
  }

  private @Nullable String equipmentEnd(
      Symbol.Equipment e, PipeEnd end, boolean begins, boolean draws) {
    Word port = end.port();
    List<String> ports = e.kind().ports();
    if (port == null && !ports.isEmpty()) {
      tellPort(e, end.span(), "`" + e.name() + " at " + port(e) + "`");
      return null;
    } else if (port != null && !ports.contains(port.text())) {
      Diagnostic d =
          Diagnostic.of(
              Code.NO_SUCH_PORT, port.span(), e.name() + " has no port `" + port + "`");
      diagnostics.add(
          ports.isEmpty() ? d.withFix("leave out `at " + port + "`") : d.withLabel(has(e)));
      return null;
    }
    if (draws) {
      add(e, end.span());
    } else if (!network.draws(e)) {
      tellUnknown(end.name());
      return null;
    }
    return port != null
        ? PipeNetwork.port(e, port.text())
        : begins ? PipeNetwork.outlet(e) : PipeNetwork.inlet(e);
  }

  // ---- questions

  /** {@code open path from A to B} or {@code flow from A to B}. */
  Term path(Expression.Path p, View view) {
    String from = end(p.from(), true, false);
    String to = end(p.to(), false, false);
    if (from == null || to == null) {
      return new Term.Broken(p.span());
    }
    if (view == View.LOGIC) {
      return readsTruth(p.span(), "logic cannot see which paths are open");
    }
    List<List<PipeNetwork.Way>> paths = few(network.between(from, to), p.span());
    if (paths == null) {
      return new Term.Broken(p.span());
    }
    Term term =
        p.flow()
            ? PipeNetwork.anyFlows(paths, p.span())
            : PipeNetwork.anyOpen(paths, p.span());
    boolean never = term instanceof Term.Any a && a.operands().isEmpty();
    if (never && sound) {
      String what = paths.isEmpty() ? "no pipes lead from " : "nothing pumps on the way from ";
      diagnostics.add(
          Diagnostic.of(
                  Code.NO_PATH, p.span(), what + p.from().name() + " to " + p.to().name())
              .withWhy("this never holds, whatever the plant does"));
    }
    return term;
  }

  /** Whether it is such a question about equipment that pumps. */
  boolean asks(Symbol.Equipment e, String state) {
    return (state.equals(DEAD_HEADED) || state.equals(DRY)) && e.kind().pumps() != 0;
  }

  /** {@code P-1 is dead_headed} or {@code P-1 is dry}. */
  Term state(Symbol.Equipment e, String state, View view, Span at) {
    if (!network.draws(e)) {
      if (sound) {
        diagnostics.add(
            Diagnostic.of(Code.NOT_IN_PIPES, at, "no pipe leads through " + e.name())
                .withRelated(e.name().span(), "declared here")
                .withFix("pipe from ... through " + e.name() + " to ..."));
      }
      return new Term.Broken(at);
    }
    if (view == View.LOGIC) {
      return readsTruth(at, "logic cannot see whether " + e.name() + " is " + state);
    }
    asked.add(e.name() + " " + state);
    boolean dry = state.equals(DRY);
    List<List<PipeNetwork.Way>> paths = few(dry ? network.toward(e) : network.away(e), at);
    return paths == null
        ? new Term.Broken(at)
        : new Term.All(
            List.of(
                PipeNetwork.pumps(e, at), new Term.Not(PipeNetwork.anySurelyOpen(paths, at), at)),
            at);
  }

  /** Notes the hazards that the pipes offer and no claim or condition speaks of. */
  void offer() {
    if (!drawn || !sound) {
      return;
    }
    for (Symbol.Equipment e : pumping.values()) {
      var offered = new ArrayList<String>();
      for (String state : List.of(DEAD_HEADED, DRY)) {
        if (!asked.contains(e.name() + " " + state)) {
          offered.add("`" + e.name() + " is " + state + "`");
        }
      }
      Span at = drawnAt.get(e.name().text());
      if (!offered.isEmpty() && at != null) {
        diagnostics.add(
            Diagnostic.of(
                    Code.OFFERED_HAZARD,
                    at,
                    "no claim says whether " + String.join(" or ", offered) + " can be")
                .withWhy("the pipes say when a pump has nowhere to pump to, or nothing to pump")
                .withFix("hazard ... : " + offered.getFirst().replace("`", "") + " for ..."));
      }
    }
  }

  // ---- what is told

  private @Nullable List<List<PipeNetwork.Way>> few(PipeNetwork.Paths paths, Span at) {
    if (paths.list() == null) {
      diagnostics.add(
          Diagnostic.of(
                  Code.TOO_MANY_PATHS,
                  at,
                  "more than " + PipeNetwork.MAX_PATHS + " paths lead there")
              .withFix("ask for a part of the way, from or to a point between"));
    }
    return paths.list();
  }

  private Term readsTruth(Span at, String message) {
    diagnostics.add(
        TermResolver.readingTruth(
            at, message, "read the feedbacks of the valves, or a flow switch"));
    return new Term.Broken(at);
  }

  private void tellUnknown(Word name) {
    if (!sound) {
      return;
    }
    Diagnostic d =
        Diagnostic.of(Code.NOT_IN_PIPES, name.span(), "no pipe leads to or from `" + name + "`");
    diagnostics.add(Closest.suggested(d, name.text(), network.points()));
  }

  private void tellNoPart(Word tag, Symbol symbol) {
    diagnostics.add(
        Diagnostic.of(
                Code.WRONG_USE,
                tag.span(),
                "`" + tag + "` is " + symbol.what() + " and no part of a pipe")
            .withRelated(symbol.name().span(), "declared here"));
  }

  private void tellPort(Symbol.Equipment e, Span at, String fix) {
    diagnostics.add(
        Diagnostic.of(
                Code.NO_SUCH_PORT, at, "it is not said which port of " + e.name() + " is meant")
            .withLabel(has(e))
            .withFix(fix));
  }

  private static String has(Symbol.Equipment e) {
    return "has " + String.join(", ", e.kind().ports());
  }

  private static String port(Symbol.Equipment e) {
    return e.kind().ports().getFirst();
  }
}
