package stoplog.dsl.resolve;

import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Closest;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.kinds.Moves;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/** Declares equipment: what a plant states of a piece of it, beside what its kind lets it state. */
final class EquipmentDeclarer {
  private final Scope scope;
  private final Quantities quantities;
  private final Kinds kinds;
  private final List<Diagnostic> diagnostics;

  EquipmentDeclarer(
      Scope scope, Quantities quantities, Kinds kinds, List<Diagnostic> diagnostics) {
    this.scope = scope;
    this.quantities = quantities;
    this.kinds = kinds;
    this.diagnostics = diagnostics;
  }

  void declare(Declaration.Equipment e) {
    Kind kind = kinds.named(e.kind().text());
    if (kind == null) {
      unknownKind(e);
      return;
    }
    var stating = new Stating(e, kind);
    e.members().forEach(stating::member);
    stating.drives();
    if (e.byHand() && kind.commands().isEmpty()) {
      diagnostics.add(
          Diagnostic.of(
                  Code.NO_COMMAND, e.tag().span(), kind.withArticle() + " is not moved by hand")
              .withWhy("it takes no command at all: the process moves it")
              .withFix("leave out `by hand`"));
    }
    int endless = new Moves(kind, stating.windows.keySet()).endless();
    if (endless >= 0) {
      diagnostics.add(
          Diagnostic.of(
                  Code.KIND_ENDLESS, e.tag().span(), e.tag() + " would move on and on in no time")
              .withLabel("when it is " + kind.positions().get(endless))
              .withFix(
                  "state how long it takes: "
                      + String.join(", ", kind.windows().stream().map(w -> "`" + w + "`").toList())));
    }
    boolean added =
        scope.add(
            new Symbol.Equipment(
                e.tag(),
                e.text(),
                kind,
                e.byHand(),
                stating.windows,
                stating.fail,
                stating.feedbacks,
                stating.lags,
                e.span()));
    if (added) {
      stating.feedbacks.forEach(
          (state, tag) -> scope.add(new Symbol.Feedback(tag, e.tag(), state)));
    }
  }

  /** What the plant states of one piece of equipment. */
  private final class Stating {
    final Declaration.Equipment equipment;
    final Kind kind;
    final Map<String, TimeWindow> windows = new LinkedHashMap<>();
    final Map<String, Word> feedbacks = new LinkedHashMap<>();
    final Map<String, TimeWindow> lags = new HashMap<>();
    final Map<String, Span> stated = new HashMap<>();
    final Set<String> driven = new LinkedHashSet<>();
    Kind.@Nullable Fail fail;

    Stating(Declaration.Equipment equipment, Kind kind) {
      this.equipment = equipment;
      this.kind = kind;
    }

    void member(Declaration.Member member) {
      switch (member) {
        case Declaration.Timing t -> {
          if (!kind.windows().contains(t.name().text())) {
            unknownMember(t.name(), kind, kind.windows());
          } else if (once("`" + t.name() + "`", t.span(), stated)) {
            windows.put(t.name().text(), quantities.timeWindow(t.window(), t.name() + " time"));
          }
        }
        case Declaration.Fails f -> fails(f);
        case Declaration.Driven d -> {
          var known = kind.drives().stream().map(Kind.Drive::name).toList();
          if (!known.contains(d.name().text())) {
            unknownMember(d.name(), kind, known);
          } else if (once("when `" + d.name() + "`", d.span(), stated)) {
            driven.add(d.name().text());
          }
        }
        case Declaration.Proves p -> {
          if (!kind.feedbacks().containsKey(p.state().text())) {
            unknownMember(p.state(), kind, List.copyOf(kind.feedbacks().keySet()));
            scope.forgive(p.tag().text());
          } else if (once("`proves " + p.state() + "`", p.span(), stated)) {
            feedbacks.put(p.state().text(), p.tag());
            if (p.lag() != null) {
              lags.put(p.state().text(), quantities.timeWindow(p.lag(), "lag"));
            }
          }
        }
      }
    }

    private void fails(Declaration.Fails f) {
      Kind.Fail found = kind.fail(f.state().text());
      if (equipment.byHand() && kind.statesFail()) {
        diagnostics.add(
            Diagnostic.of(
                    Code.UNKNOWN_MEMBER,
                    f.span(),
                    equipment.tag() + " is moved by hand and never fails")
                .withWhy("without power it stays as the operator set it")
                .withFix("leave this out"));
      } else if (found == null) {
        failsWrong(f, kind);
      } else if (once("`fails`", f.span(), stated)) {
        fail = found;
      }
    }

    /** What the process moves does not move by itself: each of the kind's drives is stated. */
    void drives() {
      for (Kind.Drive d : kind.drives()) {
        if (!driven.contains(d.name())) {
          diagnostics.add(
              Diagnostic.of(
                      Code.NO_DRIVE,
                      equipment.tag().span(),
                      "nothing says when the process moves "
                          + equipment.tag()
                          + (d.text().isEmpty() ? "" : ": when " + d.text()))
                  .withWhy("it would stand still for ever, and everything about it would be proved")
                  .withFix("add `" + d.name() + " when ...` to " + equipment.tag()));
        }
      }
    }
  }

  private void unknownKind(Declaration.Equipment e) {
    if (!kinds.isBroken(e.kind().text())) {
      Diagnostic d =
          Diagnostic.of(
                  Code.UNKNOWN_KIND,
                  e.kind().span(),
                  "there is no kind of equipment `" + e.kind() + "`")
              .withLabel("known are " + String.join(", ", kinds.words()));
      diagnostics.add(Closest.suggested(d, e.kind().text(), kinds.words()));
    }
    scope.forgive(e.tag().text());
    for (Declaration.Member m : e.members()) {
      if (m instanceof Declaration.Proves p) {
        scope.forgive(p.tag().text());
      }
    }
  }

  private void unknownMember(Word word, Kind kind, List<String> known) {
    Diagnostic d =
        Diagnostic.of(
                Code.UNKNOWN_MEMBER,
                word.span(),
                kind.withArticle() + " has no `" + word + "` to state");
    if (!known.isEmpty()) {
      d = d.withLabel("can state " + String.join(", ", known));
    }
    diagnostics.add(Closest.suggested(d, word.text(), known));
  }

  private void failsWrong(Declaration.Fails f, Kind kind) {
    if (kind.statesFail()) {
      unknownMember(f.state(), kind, kind.fails().stream().map(Kind.Fail::words).toList());
      return;
    }
    Diagnostic d =
        Diagnostic.of(Code.UNKNOWN_MEMBER, f.span(), kind.withArticle() + " has no fail position");
    if (kind.unpowered() == null && kind.commands().size() == 1) {
      String off = kind.commands().getFirst().words().getFirst();
      d = d.withWhy("without power " + kind.withArticle() + " always goes " + off);
    }
    diagnostics.add(d.withFix("leave this out"));
  }

  private boolean once(String what, Span span, Map<String, Span> stated) {
    Span first = stated.putIfAbsent(what, span);
    if (first != null) {
      diagnostics.add(
          Diagnostic.of(Code.STATED_TWICE, span, what + " is stated twice")
              .withRelated(first, "first time"));
    }
    return first == null;
  }

}
