package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.kinds.Kind.Answer;
import stoplog.dsl.kinds.Kind.Behaviour;
import stoplog.dsl.kinds.Kind.Commanded;
import stoplog.dsl.kinds.Kind.Driven;
import stoplog.dsl.tree.Declaration.KindOf;
import stoplog.dsl.tree.KindMember;
import stoplog.dsl.tree.Word;

/**
 * The description of a kind of equipment to its table.
 *
 * <p>A state is named by its own name where it starts, or is moved from or to. Elsewhere ({@code
 * proves}, {@code suggests}, {@code passes}, {@code pumps}) a list may also name what is said
 * of several states. A state told with the words of another is the same to everybody but the kind:
 * {@code opening_again "opening"} is {@code opening} in every plant.
 */
public final class KindResolver {
  private final KindOf tree;
  private final List<Diagnostic> diagnostics;
  private final KindWords words;

  private final List<Kind.Mode> modes = new ArrayList<>();
  private final List<Answer> stays = new ArrayList<>();
  private final List<Kind.Motion> motions = new ArrayList<>();
  private final List<Kind.Fail> fails = new ArrayList<>();
  private final List<Kind.Fault> faults = new ArrayList<>();
  private final List<Kind.Suggestion> suggestions = new ArrayList<>();
  private final List<Kind.Passage> passages = new ArrayList<>();
  private final Map<String, String> feedbacks = new LinkedHashMap<>();
  private final Set<String> windows = new LinkedHashSet<>();
  private @Nullable Behaviour unpowered;
  private long starts = 1;
  private long pumps;

  private KindResolver(KindOf tree, List<Diagnostic> diagnostics) {
    this.tree = tree;
    this.diagnostics = diagnostics;
    this.words = new KindWords(tree, diagnostics);
  }

  /** The kind, or {@code null} if something is wrong with it, which is told. */
  public static @Nullable Kind resolve(KindOf tree, List<Diagnostic> diagnostics) {
    var found = new ArrayList<Diagnostic>();
    Kind kind = new KindResolver(tree, found).run();
    diagnostics.addAll(found);
    return kind;
  }

  private @Nullable Kind run() {
    if (!words.declare()) {
      return null;
    }
    // A fail position starts where the kind does unless it says so itself.
    for (KindMember m : tree.members()) {
      if (m instanceof KindMember.Starts s) {
        starts = words.states(s.states());
      }
    }
    tree.members().forEach(this::member);
    if (diagnostics.stream().anyMatch(Diagnostic::isError)) {
      return null;
    }
    Kind kind =
        new Kind(
            tree.name().text(),
            tree.text(),
            words.commands(),
            words.drives(),
            words.told(),
            words.sayable(),
            feedbacks,
            List.copyOf(windows),
            modes,
            stays,
            motions,
            fails,
            unpowered,
            starts,
            faults,
            suggestions,
            words.ports(),
            passages.isEmpty()
                ? List.of(new Kind.Passage(null, null, true, words.everywhere(), false))
                : passages,
            pumps);
    new KindRules(kind, tree, words, diagnostics).check();
    return diagnostics.stream().anyMatch(Diagnostic::isError) ? null : kind;
  }

  private void member(KindMember member) {
    switch (member) {
      case KindMember.When w -> {
        var tests = new ArrayList<Kind.Test>();
        for (KindMember.Mode m : w.modes()) {
          Kind.Test test = test(m);
          if (test != null) {
            tests.add(test);
          }
        }
        modes.add(new Kind.Mode(tests, answers(w.answers())));
      }
      case KindMember.Stays s -> stays.addAll(answers(s.answers()));
      case KindMember.Motion m -> motion(m);
      case KindMember.Proof p -> proof(p);
      case KindMember.Fails f -> {
        if (fails.stream().anyMatch(k -> k.words().equals(f.words().text()))) {
          twice(f.words(), "`fails " + f.words() + "`");
        }
        long from = f.starts().isEmpty() ? starts : words.states(f.starts());
        fails.add(new Kind.Fail(f.words().text(), behaviour(f.behaviour()), from));
      }
      case KindMember.Unpowered u -> unpowered = behaviour(u.behaviour());
      case KindMember.Fault f -> {
        long strikes =
            f.strikes().isEmpty() ? words.everywhere() : words.positions(f.strikes());
        String text = f.text().isEmpty() ? "has the fault " + f.name() : f.text();
        faults.add(new Kind.Fault(f.name().text(), text, behaviour(f.behaviour()), strikes));
      }
      case KindMember.Suggests s -> suggests(s);
      case KindMember.Passes p -> passes(p);
      case KindMember.Pumps p -> pumps |= words.positions(p.states());
      case KindMember.Command c -> {}
      case KindMember.States s -> {}
      case KindMember.DrivenBy d -> {}
      case KindMember.Predicate p -> {}
      case KindMember.Starts s -> {}
      case KindMember.Ports p -> {}
    }
  }

  private List<Answer> answers(List<KindMember.Answer> written) {
    var answers = new ArrayList<Answer>();
    long seen = 0;
    for (KindMember.Answer a : written) {
      long from = 0;
      for (Word w : a.from()) {
        int p = words.position(w);
        if (p >= 0 && (seen >>> p & 1) != 0) {
          twice(w, "where it goes from `" + w + "`");
        }
        from |= p < 0 ? 0 : 1L << p;
        seen |= from;
      }
      int to = words.position(a.to());
      if (to >= 0 && (from >>> to & 1) != 0) {
        diagnostics.add(
            Diagnostic.of(Code.KIND_MOTION, a.span(), "this goes from `" + a.to() + "` to itself")
                .withFix("leave it out: where nothing is said it stays"));
      }
      answers.add(new Answer(from, Math.max(to, 0)));
    }
    return answers;
  }

  private Kind.@Nullable Test test(KindMember.Mode m) {
    if (!m.commanded()) {
      int drive = words.drive(m.word());
      return drive < 0 ? null : new Driven(drive, m.negated());
    }
    Commanded c = words.commanded(m.word());
    return c == null ? null : new Commanded(c.commands(), c.value(), m.negated());
  }

  private Behaviour behaviour(KindMember.Behaviour b) {
    KindMember.Mode as = b.as();
    return new Behaviour(as == null ? null : test(as));
  }

  private void motion(KindMember.Motion m) {
    int during = words.position(m.during());
    int end = words.position(m.then());
    for (Kind.Motion before : motions) {
      if (before.during() == during && during >= 0) {
        twice(m.during(), "how it leaves `" + m.during() + "`");
      }
    }
    if (during >= 0 && during == end) {
      diagnostics.add(
          Diagnostic.of(Code.KIND_MOTION, m.then().span(), "this motion ends where it begins")
              .withWhy("a clock begins anew only when another state comes between"));
    }
    windows.add(m.window().text());
    String text = m.text().isEmpty() && end >= 0 ? words.told().get(end) : m.text();
    motions.add(
        new Kind.Motion(Math.max(during, 0), Math.max(end, 0), m.window().text(), !m.upTo(), text));
  }

  private void proof(KindMember.Proof p) {
    String state = p.state().text();
    if (words.said(p.state()) != null
        && feedbacks.putIfAbsent(state, p.letters().text()) != null) {
      twice(p.state(), "what proves `" + state + "`");
    }
  }

  private void suggests(KindMember.Suggests s) {
    Commanded c = words.commanded(s.command());
    long positions = words.positions(s.states());
    if (c != null) {
      for (int command : c.commands()) {
        suggestions.add(new Kind.Suggestion(command, c.value(), positions));
      }
    }
  }

  private void passes(KindMember.Passes p) {
    long listed = words.positions(p.states());
    long positions = p.whilst() ? listed : words.everywhere() & ~listed;
    Word from = p.from();
    Word to = p.to();
    if ((from == null) != words.ports().isEmpty()) {
      diagnostics.add(
          Diagnostic.of(
                  Code.KIND_PASSAGE,
                  p.span(),
                  from == null
                      ? "this does not say between which ports it passes"
                      : "ports are named here, and the kind has none")
              .withFix(
                  from == null
                      ? "`passes from " + words.ports().getFirst() + " to ...`"
                      : "`ports " + from + ", " + to + "`"));
      return;
    }
    if (from != null && to != null) {
      words.port(from);
      words.port(to);
      if (from.text().equals(to.text())) {
        diagnostics.add(
            Diagnostic.of(Code.KIND_PASSAGE, p.span(), "this passes from a port to itself"));
      }
    }
    passages.add(
        new Kind.Passage(
            from == null ? null : from.text(),
            to == null ? null : to.text(),
            p.bothWays(),
            positions,
            !p.whilst()));
  }

  private void twice(Word at, String what) {
    diagnostics.add(Diagnostic.of(Code.STATED_TWICE, at.span(), what + " is stated twice"));
  }
}
