package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Closest;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.kinds.Kind.Commanded;
import stoplog.dsl.kinds.Kind.Said;
import stoplog.dsl.kinds.Moves;
import stoplog.dsl.tree.Declaration.KindOf;
import stoplog.dsl.tree.KindMember;
import stoplog.dsl.tree.Word;
import stoplog.model.Variable;
import stoplog.source.Span;

/** The words a kind of equipment has for its states, commands, drives, faults and ports. */
final class KindWords {
  private final KindOf tree;
  private final List<Diagnostic> diagnostics;
  private final Map<String, Integer> states = new LinkedHashMap<>();
  private final List<String> told = new ArrayList<>();
  private final Map<String, Said> predicates = new LinkedHashMap<>();
  private final Map<String, Integer> drives = new LinkedHashMap<>();
  private final List<Kind.Drive> driveTexts = new ArrayList<>();
  private final Map<String, Integer> faults = new LinkedHashMap<>();
  private final Map<String, Span> ports = new LinkedHashMap<>();
  private final List<Kind.Command> commands = new ArrayList<>();
  private final Map<String, Span> places = new HashMap<>();

  KindWords(KindOf tree, List<Diagnostic> diagnostics) {
    this.tree = tree;
    this.diagnostics = diagnostics;
  }

  /** Finds all words. Whether there is enough to go on; what is wrong is told. */
  boolean declare() {
    KindMember.States first = null;
    for (KindMember m : tree.members()) {
      switch (m) {
        case KindMember.States s -> {
          if (first != null) {
            diagnostics.add(
                Diagnostic.of(Code.STATED_TWICE, s.span(), "the states are stated twice")
                    .withRelated(first.span(), "first time"));
          } else {
            first = s;
            s.states().forEach(this::state);
          }
        }
        case KindMember.Command c -> command(c);
        case KindMember.DrivenBy d -> {
          for (KindMember.State drive : d.drives()) {
            if (once("drive", drive.name())) {
              drives.put(drive.name().text(), drives.size());
              driveTexts.add(new Kind.Drive(drive.name().text(), drive.text()));
            }
          }
        }
        case KindMember.Fault f -> {
          if (once("fault", f.name())) {
            faults.put(f.name().text(), faults.size());
          }
        }
        case KindMember.Ports p -> {
          for (Word w : p.ports()) {
            if (once("port", w)) {
              ports.put(w.text(), w.span());
            }
          }
        }
        default -> {}
      }
    }
    if (states.isEmpty()) {
      diagnostics.add(
          Diagnostic.of(Code.KIND_STATES, tree.name().span(), "this kind has no states")
              .withFix("`states closed, opening, open`"));
      return false;
    }
    predicates();
    return fits();
  }

  private boolean fits() {
    if (states.size() > Variable.MAX_VALUES - 1 || faults.size() > Variable.MAX_VALUES - 1) {
      diagnostics.add(
          Diagnostic.of(
              Code.KIND_STATES,
              tree.name().span(),
              "a kind has at most " + (Variable.MAX_VALUES - 1) + " states and as many faults"));
      return false;
    }
    if (Moves.countSettings(commands, drives.size()) > Moves.MAX_SETTINGS) {
      diagnostics.add(
          Diagnostic.of(
                  Code.KIND_STATES,
                  tree.name().span(),
                  "the commands and drives of this kind have more than "
                      + Moves.MAX_SETTINGS
                      + " combinations")
              .withFix("two kinds, or fewer words"));
      return false;
    }
    return true;
  }

  private void state(KindMember.State s) {
    if (once("state", s.name())) {
      states.put(s.name().text(), states.size());
      told.add(s.text().isEmpty() ? s.name().text() : s.text());
    }
  }

  private boolean once(String what, Word word) {
    Span before = places.putIfAbsent(what + " " + word.text(), word.span());
    if (before != null) {
      diagnostics.add(
          Diagnostic.of(Code.STATED_TWICE, word.span(), what + " `" + word + "` is stated twice")
              .withRelated(before, "first time"));
    }
    return before == null;
  }

  private void command(KindMember.Command c) {
    if (!once("command", c.verb())) {
      return;
    }
    var words = new ArrayList<String>();
    for (int i = 0; i < c.words().size(); i++) {
      Word w = c.words().get(i);
      String word = w.text();
      boolean shared =
          i == 0 && commands.stream().allMatch(k -> k.words().indexOf(word) <= 0);
      if (words.contains(word)
          || (!shared && commands.stream().anyMatch(k -> k.words().contains(word)))) {
        diagnostics.add(
            Diagnostic.of(Code.STATED_TWICE, w.span(), "`" + w + "` is commanded twice")
                .withWhy(
                    "of two commands, only the first words may be the same: neither is given"));
      }
      words.add(word);
    }
    if (words.size() > Variable.MAX_VALUES) {
      diagnostics.add(Diagnostic.of(Code.KIND_STATES, c.span(), "a command has at most 64 words"));
    }
    commands.add(new Kind.Command(c.verb().text(), words));
  }

  /** First those with a line of their own, then each state; states told alike are said alike. */
  private void predicates() {
    for (KindMember m : tree.members()) {
      if (m instanceof KindMember.Predicate p && once("what `is`", p.name())) {
        long positions = 0;
        long wrong = 0;
        for (Word w : p.states()) {
          Integer state = states.get(w.text());
          Said before = predicates.get(w.text());
          Integer fault = faults.get(w.text());
          if (state != null) {
            positions |= 1L << state;
          } else if (before != null) {
            positions |= before.positions();
            wrong |= before.faults();
          } else if (fault != null) {
            wrong |= 1L << fault;
          } else {
            unknown(w, states.keySet());
          }
        }
        predicates.put(p.name().text(), new Said(positions, wrong));
      }
    }
    for (Map.Entry<String, Integer> s : states.entrySet()) {
      long alike = 0;
      for (Map.Entry<String, Integer> t : states.entrySet()) {
        boolean same = told.get(t.getValue()).equals(told.get(s.getValue()));
        alike |= same ? 1L << t.getValue() : 0;
      }
      boolean variant = states.containsKey(told.get(s.getValue())) && !isToldByName(s.getKey());
      if (!variant) {
        predicates.putIfAbsent(s.getKey(), new Said(alike, 0));
      }
    }
    for (Map.Entry<String, Integer> f : faults.entrySet()) {
      predicates.putIfAbsent(f.getKey(), new Said(0, 1L << f.getValue()));
    }
  }

  private boolean isToldByName(String state) {
    return told.get(states.get(state)).equals(state);
  }

  /** The state of this name, where it moves from or to; -1 with a word if there is none. */
  int position(Word word) {
    Integer state = states.get(word.text());
    return state == null ? unknown(word, states.keySet()) : state;
  }

  /** The states of a list, each by its own name. */
  long states(List<Word> list) {
    long positions = 0;
    for (Word w : list) {
      int p = position(w);
      positions |= p < 0 ? 0 : 1L << p;
    }
    return positions;
  }

  /** What is said by this word of a list; {@code null} with a word if nothing is. */
  @Nullable Said said(Word word) {
    Said said = predicates.get(word.text());
    Integer state = states.get(word.text());
    if (said == null && state != null) {
      return new Said(1L << state, 0);
    } else if (said == null) {
      unknown(word, predicates.keySet());
    }
    return said;
  }

  /** The positions of a list; a fault in it is told to be none. */
  long positions(List<Word> list) {
    long positions = 0;
    for (Word w : list) {
      Said said = said(w);
      if (said != null && said.faults() != 0) {
        diagnostics.add(
            Diagnostic.of(Code.KIND_WORD, w.span(), "`" + w + "` is a fault, and states are named here")
                .withFix("a state, or a fault that acts as a command or drive"));
      }
      positions |= said == null ? 0 : said.positions();
    }
    return positions;
  }

  /** The commands and the value that a word names; {@code null} with a word if there are none. */
  @Nullable Commanded commanded(Word word) {
    var called = new ArrayList<Integer>();
    int value = 0;
    for (int c = 0; c < commands.size(); c++) {
      int at = commands.get(c).words().indexOf(word.text());
      if (at >= 0) {
        called.add(c);
        value = at;
      }
    }
    if (called.isEmpty()) {
      unknown(word, commands.stream().flatMap(c -> c.words().stream()).distinct().toList());
      return null;
    }
    return new Commanded(called, value, false);
  }

  int drive(Word word) {
    Integer drive = drives.get(word.text());
    return drive == null ? unknown(word, drives.keySet()) : drive;
  }

  void port(Word word) {
    if (!ports.containsKey(word.text())) {
      unknown(word, ports.keySet());
    }
  }

  private int unknown(Word word, Collection<String> known) {
    Diagnostic d =
        Diagnostic.of(
                Code.KIND_WORD, word.span(), "this kind has no `" + word + "` to name here")
            .withLabel(known.isEmpty() ? "there are none" : "can be " + String.join(", ", known));
    diagnostics.add(Closest.suggested(d, word.text(), known));
    return -1;
  }

  List<String> told() {
    return told;
  }

  /** The names of the states, in the order of their positions. */
  List<String> names() {
    return List.copyOf(states.keySet());
  }

  Map<String, Said> sayable() {
    return predicates;
  }

  List<Kind.Command> commands() {
    return commands;
  }

  List<Kind.Drive> drives() {
    return driveTexts;
  }

  List<String> ports() {
    return List.copyOf(ports.keySet());
  }

  long everywhere() {
    return (1L << states.size()) - 1;
  }

  /** Where this state was declared. */
  Span place(int position) {
    return java.util.Objects.requireNonNull(places.get("state " + names().get(position)));
  }
}
