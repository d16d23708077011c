package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Closest;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.ChartItem;
import stoplog.dsl.tree.ChartItem.Mark;
import stoplog.dsl.tree.LogicItem;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/**
 * Puts the macros of a sequence in the places of the steps that stand for them. Where something is
 * wrong that is told and left out, and the result is not whole.
 */
final class ChartExpander {
  /** Macros within macros multiply; more steps than this nobody has written by hand. */
  static final int MAX_STEPS = 1000;

  /**
   * A sequence without macros.
   *
   * @param states what can be said of the sequence behind {@code is}, and in which steps it is so
   */
  record Expanded(
      List<Chart.Step> steps,
      List<Joint> joints,
      List<Doing> doings,
      List<ChartItem.Hold> holds,
      List<Ending> endings,
      Map<String, List<Integer>> states,
      boolean whole) {}

  /** A transition and the steps it leads from and to. */
  record Joint(List<Integer> from, List<Integer> to, ChartItem.Transition written) {}

  /** An action and the steps at which it is done. */
  record Doing(List<Integer> steps, ChartItem.Action written) {}

  /** An abort and the step it leads to. */
  record Ending(int to, ChartItem.Abort written) {}

  /** What a step as written has become: it is entered at one step, left at one, and is all. */
  private record Piece(int entry, int exit, List<Integer> all) {}

  /** Of which steps a name speaks; of two with one name the outer counts. */
  private record State(int depth, List<Integer> steps) {}

  private final LogicItem.Sequence sequence;
  private final List<Diagnostic> diagnostics;
  private final Map<String, ChartItem.Macro> macros = new LinkedHashMap<>();
  private final Set<String> used = new LinkedHashSet<>();
  private final Set<Span> told = new LinkedHashSet<>();
  private final List<Chart.Step> steps = new ArrayList<>();
  private final List<Joint> joints = new ArrayList<>();
  private final List<Doing> doings = new ArrayList<>();
  private final List<ChartItem.Hold> holds = new ArrayList<>();
  private final List<Ending> endings = new ArrayList<>();
  private final Map<String, State> states = new LinkedHashMap<>();
  private boolean whole = true;
  private boolean full;

  private ChartExpander(LogicItem.Sequence sequence, List<Diagnostic> diagnostics) {
    this.sequence = sequence;
    this.diagnostics = diagnostics;
  }

  /** Linear in the number of steps that result. */
  static Expanded expand(LogicItem.Sequence sequence, List<Diagnostic> diagnostics) {
    var expander = new ChartExpander(sequence, diagnostics);
    expander.collect(sequence.items());
    expander.level(sequence.items(), null, "", List.of());
    expander.unused();
    var states = new LinkedHashMap<String, List<Integer>>();
    expander.states.forEach((name, state) -> states.put(name, List.copyOf(state.steps())));
    return new Expanded(
        expander.steps,
        expander.joints,
        expander.doings,
        expander.holds,
        expander.endings,
        states,
        expander.whole);
  }

  /** Macros may stand anywhere in the sequence, and every step of it may stand for them. */
  private void collect(List<ChartItem> items) {
    for (ChartItem item : items) {
      if (item instanceof ChartItem.Macro m) {
        ChartItem.Macro first = macros.putIfAbsent(m.name().text(), m);
        if (first != null) {
          twice(m.name(), first.name(), "macro");
        }
        ends(m, Mark.ENTRY, "entry");
        ends(m, Mark.EXIT, "exit");
        collect(m.items());
      }
    }
  }

  private void ends(ChartItem.Macro m, Mark mark, String word) {
    var marked = new ArrayList<Word>();
    for (ChartItem i : m.items()) {
      if (i instanceof ChartItem.Step s && s.mark() == mark) {
        marked.add(s.name());
      }
    }
    if (marked.isEmpty()) {
      tell(
          Diagnostic.of(
                  Code.MACRO_ENDS, m.name().span(), "macro `" + m.name() + "` has no " + word + " step")
              .withWhy("a macro begins at one step and is left from one step")
              .withFix("`" + word + " step ...` inside it"));
    } else if (marked.size() > 1) {
      tell(
          Diagnostic.of(
                  Code.MACRO_ENDS,
                  marked.get(1).span(),
                  "macro `" + m.name() + "` has two " + word + " steps")
              .withRelated(marked.getFirst().span(), "the first")
              .withWhy("a macro begins at one step and is left from one step"));
    }
  }

  private void unused() {
    for (ChartItem.Macro m : macros.values()) {
      if (whole && !used.contains(m.name().text())) {
        // The rest of the sequence is whole without it.
        diagnostics.add(
            Diagnostic.of(
                    Code.STEP_NOT_REACHED, m.name().span(), "no step stands for macro `" + m.name() + "`")
                .withFix("`step ... is macro " + m.name() + "`"));
      }
    }
  }

  /**
   * The sequence itself, or one use of a macro.
   *
   * @param macro {@code null} for the sequence itself
   * @param prefix what the names of its steps begin with
   * @param within the macros this stands in
   */
  private Piece level(
      List<ChartItem> items, ChartItem.@Nullable Macro macro, String prefix, List<Word> within) {
    Map<String, Piece> pieces = new LinkedHashMap<>();
    Map<String, Word> names = new LinkedHashMap<>();
    var all = new ArrayList<Integer>();
    int entry = -1;
    int exit = -1;
    for (ChartItem item : items) {
      if (!(item instanceof ChartItem.Step s)) {
        continue;
      }
      Word first = names.putIfAbsent(s.name().text(), s.name());
      if (first != null) {
        twice(s.name(), first, "step");
        continue;
      }
      mark(s, macro);
      Piece piece = step(s, macro == null && s.mark() == Mark.INITIAL, prefix, within);
      pieces.put(s.name().text(), piece);
      all.addAll(piece.all());
      state(s.name().text(), within.size(), piece.all());
      s.actions().forEach(a -> doings.add(new Doing(piece.all(), a)));
      entry = s.mark() == Mark.ENTRY ? piece.entry() : entry;
      exit = s.mark() == Mark.EXIT ? piece.exit() : exit;
    }
    for (ChartItem item : items) {
      connect(item, macro, pieces);
    }
    return new Piece(entry, exit, all);
  }

  private void state(String name, int depth, List<Integer> of) {
    State now = states.get(name);
    if (now == null || depth < now.depth()) {
      states.put(name, new State(depth, new ArrayList<>(of)));
    } else if (depth == now.depth()) {
      now.steps().addAll(of);
    }
  }

  private void mark(ChartItem.Step s, ChartItem.@Nullable Macro macro) {
    if (macro == null && (s.mark() == Mark.ENTRY || s.mark() == Mark.EXIT)) {
      tell(
          Diagnostic.of(
                  Code.NOT_IN_THIS_CHART,
                  s.name().span(),
                  "only macros have entry and exit steps")
              .withFix("`initial step " + s.name() + "`, or `step " + s.name() + "`"));
    } else if (macro != null && s.mark() == Mark.INITIAL) {
      tell(
          Diagnostic.of(
                  Code.NOT_IN_THIS_CHART, s.name().span(), "a macro has no initial step")
              .withWhy("it begins when the step that stands for it does")
              .withFix("`entry step " + s.name() + "`"));
    }
  }

  private Piece step(ChartItem.Step s, boolean initial, String prefix, List<Word> within) {
    Word name = s.macro();
    ChartItem.Macro macro = name == null ? null : macros.get(name.text());
    if (name != null && macro == null) {
      unknown(name, macros.keySet(), "macro");
    }
    if (macro != null && within.stream().anyMatch(w -> w.text().equals(name.text()))) {
      tell(
          Diagnostic.of(
                  Code.MACRO_CIRCLE, name.span(), "macro `" + name + "` contains itself")
              .withRelated(macro.name().span(), "declared here")
              .withLabel(circle(name, within))
              .withWhy("it would have steps without end"));
      macro = null;
    }
    if (macro != null) {
      used.add(macro.name().text());
      var inner = new ArrayList<>(within);
      inner.add(macro.name());
      int before = steps.size();
      Piece piece = level(macro.items(), macro, prefix + s.name() + ".", inner);
      if (piece.entry() >= 0 && piece.exit() >= 0) {
        if (initial) {
          Chart.Step e = steps.get(piece.entry());
          steps.set(piece.entry(), new Chart.Step(e.name(), e.text(), true, e.word()));
        }
        return piece;
      }
      // What is wrong with it was told; an empty macro still has to be some step.
      if (steps.size() > before) {
        return new Piece(before, before, piece.all());
      }
    }
    if (steps.size() >= MAX_STEPS) {
      if (!full) {
        tell(
            Diagnostic.of(
                Code.NOT_A_COUNT,
                sequence.name().span(),
                "a sequence has at most " + MAX_STEPS + " steps, those of its macros included"));
      }
      full = true;
      return new Piece(0, 0, List.of(0));
    }
    int index = steps.size();
    steps.add(new Chart.Step(prefix + s.name(), s.text(), initial, s.name()));
    return new Piece(index, index, List.of(index));
  }

  private static String circle(Word name, List<Word> within) {
    var chain = new ArrayList<String>();
    boolean on = false;
    for (Word w : within) {
      on |= w.text().equals(name.text());
      if (on) {
        chain.add(w.text());
      }
    }
    chain.add(name.text());
    return String.join(" -> ", chain);
  }

  private void connect(
      ChartItem item, ChartItem.@Nullable Macro macro, Map<String, Piece> pieces) {
    switch (item) {
      case ChartItem.Transition t -> {
        var from = new ArrayList<Integer>();
        var to = new ArrayList<Integer>();
        boolean known = true;
        for (Word w : t.from()) {
          Piece p = piece(w, pieces);
          known &= p != null && from.add(p.exit());
        }
        for (Word w : t.to()) {
          Piece p = piece(w, pieces);
          known &= p != null && to.add(p.entry());
        }
        if (known) {
          joints.add(new Joint(from, to, t));
        }
      }
      case ChartItem.Hold h -> {
        if (macro == null) {
          holds.add(h);
        } else {
          outside(h.span(), "hold", macro);
        }
      }
      case ChartItem.Abort a -> {
        if (macro != null) {
          outside(a.span(), "abort", macro);
        } else {
          Piece p = piece(a.to(), pieces);
          if (p != null) {
            endings.add(new Ending(p.entry(), a));
          }
        }
      }
      case ChartItem.Step s -> {}
      case ChartItem.Macro m -> {}
    }
  }

  private void outside(Span span, String word, ChartItem.Macro macro) {
    tell(
        Diagnostic.of(
                Code.NOT_IN_THIS_CHART, span, "`" + word + "` does not stand inside a macro")
            .withRelated(macro.name().span(), "this macro")
            .withWhy("it speaks of the whole sequence")
            .withFix("put it outside the macro"));
  }

  private @Nullable Piece piece(Word name, Map<String, Piece> pieces) {
    Piece piece = pieces.get(name.text());
    if (piece == null) {
      unknown(name, pieces.keySet(), "step");
    }
    return piece;
  }

  private void unknown(Word name, Collection<String> known, String what) {
    Diagnostic d =
        Diagnostic.of(
            Code.NO_SUCH_STEP,
            name.span(),
            "sequence `" + sequence.name() + "` has no " + what + " `" + name + "` here");
    d = known.isEmpty() ? d : d.withLabel("has " + some(known));
    tell(Closest.suggested(d, name.text(), known));
  }

  private static String some(Collection<String> known) {
    return known.size() > 12
        ? String.join(", ", known.stream().limit(12).toList()) + ", ..."
        : String.join(", ", known);
  }

  private void twice(Word name, Word first, String what) {
    tell(
        Diagnostic.of(
                Code.DECLARED_TWICE, name.span(), what + " `" + name + "` is declared twice")
            .withRelated(first.span(), "first time")
            .withFix("another name for one of them"));
  }

  /** Told once for each place, however often its macro is used. */
  private void tell(Diagnostic d) {
    whole = false;
    if (told.add(d.span())) {
      diagnostics.add(d);
    }
  }
}
