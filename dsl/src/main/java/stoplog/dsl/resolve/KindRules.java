package stoplog.dsl.resolve;

import java.util.List;
import java.util.Set;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.kinds.Kind.Answer;
import stoplog.dsl.kinds.Moves;
import stoplog.dsl.kinds.Moves.Setting;
import stoplog.dsl.tree.Declaration.KindOf;
import stoplog.dsl.tree.KindMember;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/** What a kind of equipment must keep to so that every plant that uses it makes sense. */
final class KindRules {
  private final Kind kind;
  private final KindOf tree;
  private final KindWords words;
  private final List<Diagnostic> diagnostics;
  private final Moves moves;

  KindRules(Kind kind, KindOf tree, KindWords words, List<Diagnostic> diagnostics) {
    this.kind = kind;
    this.tree = tree;
    this.words = words;
    this.diagnostics = diagnostics;
    this.moves = new Moves(kind, Set.copyOf(kind.windows()));
  }

  void check() {
    startsAtRest();
    everyModeApplies();
    failsIsAChoice();
    staysHasAUse();
    portsPass();
    if (comesToRest()) {
      everyStateIsReached();
    }
  }

  private void startsAtRest() {
    for (KindMember m : tree.members()) {
      List<Word> starts =
          switch (m) {
            case KindMember.Starts s -> s.states();
            case KindMember.Fails f -> f.starts();
            default -> List.of();
          };
      for (Word w : starts) {
        if (kind.motion(words.position(w)) != null) {
          diagnostics.add(
              Diagnostic.of(Code.KIND_MOTION, w.span(), "it would start in the middle of a motion")
                  .withLabel("a state that it leaves by itself"));
        }
      }
    }
    if (kind.motion(0) != null
        && kind.fails().isEmpty()
        && tree.members().stream().noneMatch(m -> m instanceof KindMember.Starts)) {
      diagnostics.add(
          Diagnostic.of(
                  Code.KIND_MOTION, words.place(0), "it would start in the middle of a motion")
              .withWhy("without `starts` it starts in the first state")
              .withFix("put a state of rest first, or add `starts ...`"));
    }
  }

  private void everyModeApplies() {
    List<Setting> left = new java.util.ArrayList<>(moves.settings(null));
    int mode = 0;
    for (KindMember m : tree.members()) {
      if (!(m instanceof KindMember.When w)) {
        continue;
      }
      Kind.Mode applies = kind.modes().get(mode++);
      if (left.stream().noneMatch(s -> s.keepsTo(applies))) {
        diagnostics.add(
            Diagnostic.of(Code.KIND_MODE, modeSpan(w), "this never applies")
                .withWhy("it contradicts itself, or those above apply first"));
      }
      left.removeIf(s -> s.keepsTo(applies));
    }
  }

  private static Span modeSpan(KindMember.When w) {
    Span first = w.modes().getFirst().span();
    return new Span(first.file(), first.start(), w.modes().getLast().span().end());
  }

  private void failsIsAChoice() {
    for (KindMember m : tree.members()) {
      if (m instanceof KindMember.Fails f && kind.fails().size() < 2) {
        diagnostics.add(
            Diagnostic.of(Code.KIND_FAILS, f.span(), "one way to fail is no choice")
                .withWhy("a plant states `fails` only where its kind leaves it open")
                .withFix("`unpowered: ...` says what it does without power"));
      } else if (m instanceof KindMember.Unpowered u && !kind.fails().isEmpty()) {
        diagnostics.add(
            Diagnostic.of(Code.KIND_FAILS, u.span(), "what it does without power is said twice")
                .withWhy("its `fails` say so already"));
      }
    }
  }

  private void staysHasAUse() {
    boolean used =
        kind.fails().stream().anyMatch(f -> f.behaviour().as() == null)
            || kind.faults().stream().anyMatch(f -> f.behaviour().as() == null)
            || (kind.unpowered() != null && kind.unpowered().as() == null);
    for (KindMember m : tree.members()) {
      if (m instanceof KindMember.Stays s && !used) {
        diagnostics.add(
            Diagnostic.of(Code.KIND_MODE, s.span(), "this never applies")
                .withWhy("nothing of this kind `stays`: no fail position, no fault"));
      }
    }
  }

  private void portsPass() {
    for (KindMember m : tree.members()) {
      if (m instanceof KindMember.Ports p
          && tree.members().stream().noneMatch(o -> o instanceof KindMember.Passes)) {
        diagnostics.add(
            Diagnostic.of(Code.KIND_PASSAGE, p.span(), "nothing passes between these ports")
                .withFix("`passes from " + kind.ports().getFirst() + " to ... while ...`"));
      }
    }
  }

  private boolean comesToRest() {
    int endless = moves.endless();
    if (endless >= 0) {
      diagnostics.add(
          Diagnostic.of(
                  Code.KIND_ENDLESS,
                  words.place(endless),
                  "from `" + words.names().get(endless) + "` it would go round in no time")
              .withWhy("its answers lead back here, with no motion that takes time between")
              .withFix("a motion between, or leave one of the answers out"));
    }
    return endless < 0;
  }

  private void everyStateIsReached() {
    Set<List<Answer>> possible = moves.answers(moves.settings(null));
    possible.add(kind.stays());
    long starts = kind.fails().isEmpty() ? kind.starts() : 0;
    for (Kind.Fail f : kind.fails()) {
      starts |= f.starts();
    }
    // Without some of its windows it may come to rest elsewhere, never in more places.
    long reached = moves.reached(starts, possible);
    for (int p = 0; p < kind.positions().size(); p++) {
      if ((reached >>> p & 1) == 0) {
        diagnostics.add(
            Diagnostic.of(
                    Code.KIND_UNREACHED,
                    words.place(p),
                    "nothing leads to `" + words.names().get(p) + "`")
                .withFix("leave this state out, or say what leads there"));
      }
    }
  }
}
