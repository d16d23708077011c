package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.KindMember;
import stoplog.dsl.tree.KindMember.State;
import stoplog.dsl.tree.Word;

/** The kinds of equipment of {@link TreeBuilder}. */
final class KindBuilder {
  private final TreeBuilder tree;

  KindBuilder(TreeBuilder tree) {
    this.tree = tree;
  }

  Declaration kind(PlantParser.KindContext k) {
    var members = new ArrayList<KindMember>();
    tree.separated(k.kindBlock().kindMember());
    for (PlantParser.KindMemberContext m : k.kindBlock().kindMember()) {
      if (tree.isWhole(m)) {
        member(m, members);
      }
    }
    return new Declaration.KindOf(
        tree.word(k.name()), tree.text(k.STRING()), members, tree.span(k));
  }

  private void member(PlantParser.KindMemberContext m, List<KindMember> members) {
    if (m.kindProves() != null) {
      for (PlantParser.KindProofContext p : m.kindProves().kindProof()) {
        members.add(
            new KindMember.Proof(tree.word(p.state()), tree.word(p.WORD()), tree.span(p)));
      }
    } else if (m.kindWhen() != null) {
      PlantParser.KindWhenContext w = m.kindWhen();
      var modes = new ArrayList<KindMember.Mode>();
      for (PlantParser.KindModeContext c : w.kindMode()) {
        modes.add(mode(c));
      }
      members.add(new KindMember.When(modes, answers(w.answerBlock()), tree.span(m)));
    } else if (m.kindStays() != null) {
      members.add(new KindMember.Stays(answers(m.kindStays().answerBlock()), tree.span(m)));
    } else {
      members.add(line(m));
    }
  }

  private KindMember line(PlantParser.KindMemberContext m) {
    if (m.kindCommand() != null) {
      PlantParser.KindCommandContext c = m.kindCommand();
      return new KindMember.Command(tree.word(c.name()), tree.words(c.state()), tree.span(m));
    } else if (m.kindStates() != null) {
      var states = new ArrayList<State>();
      for (PlantParser.KindStateContext s : m.kindStates().kindState()) {
        states.add(new State(tree.word(s.state()), tree.text(s.STRING())));
      }
      return new KindMember.States(states, tree.span(m));
    } else if (m.kindDrives() != null) {
      var drives = new ArrayList<State>();
      for (PlantParser.KindDriveContext d : m.kindDrives().kindDrive()) {
        drives.add(new State(tree.word(d.name()), tree.text(d.STRING())));
      }
      return new KindMember.DrivenBy(drives, tree.span(m));
    } else if (m.kindMotion() != null) {
      PlantParser.KindMotionContext n = m.kindMotion();
      return new KindMember.Motion(
          tree.word(n.state(0)),
          n.upTo() != null,
          tree.word(n.name()),
          tree.word(n.state(1)),
          tree.text(n.STRING()),
          tree.span(m));
    } else if (m.kindPredicate() != null) {
      PlantParser.KindPredicateContext p = m.kindPredicate();
      return new KindMember.Predicate(
          tree.word(p.state()), states(p.states()), tree.span(m));
    } else if (m.kindFails() != null) {
      PlantParser.KindFailsContext f = m.kindFails();
      return new KindMember.Fails(
          tree.word(f.state()), behaviour(f.behaviour()), states(f.states()), tree.span(m));
    } else if (m.kindUnpowered() != null) {
      return new KindMember.Unpowered(behaviour(m.kindUnpowered().behaviour()), tree.span(m));
    } else if (m.kindStarts() != null) {
      return new KindMember.Starts(states(m.kindStarts().states()), tree.span(m));
    } else if (m.kindFault() != null) {
      PlantParser.KindFaultContext f = m.kindFault();
      return new KindMember.Fault(
          tree.word(f.name()),
          tree.text(f.STRING()),
          behaviour(f.behaviour()),
          states(f.states()),
          tree.span(m));
    } else if (m.kindSuggests() != null) {
      PlantParser.KindSuggestsContext s = m.kindSuggests();
      return new KindMember.Suggests(tree.word(s.state()), states(s.states()), tree.span(m));
    } else if (m.kindPorts() != null) {
      return new KindMember.Ports(tree.words(m.kindPorts().name()), tree.span(m));
    } else if (m.kindPasses() != null) {
      PlantParser.KindPassesContext p = m.kindPasses();
      boolean ports = !p.name().isEmpty();
      return new KindMember.Passes(
          p.bothWays() != null,
          ports ? tree.word(p.name(0)) : null,
          ports ? tree.word(p.name(1)) : null,
          p.WHILE() != null,
          states(p.states()),
          tree.span(m));
    }
    return new KindMember.Pumps(states(m.kindPumps().states()), tree.span(m));
  }

  private List<KindMember.Answer> answers(PlantParser.AnswerBlockContext b) {
    var answers = new ArrayList<KindMember.Answer>();
    tree.separated(b.answer());
    for (PlantParser.AnswerContext a : b.answer()) {
      if (tree.isWhole(a)) {
        answers.add(
            new KindMember.Answer(states(a.states()), tree.word(a.state()), tree.span(a)));
      }
    }
    return answers;
  }

  private KindMember.Mode mode(PlantParser.KindModeContext m) {
    boolean commanded = m.COMMANDED() != null;
    Word word = commanded ? tree.word(m.state()) : tree.word(m.name());
    return new KindMember.Mode(m.NOT() != null, commanded, word, tree.span(m));
  }

  private KindMember.Behaviour behaviour(PlantParser.BehaviourContext b) {
    if (b.AS() == null) {
      return new KindMember.Behaviour(null, tree.span(b));
    }
    boolean commanded = b.COMMANDED() != null;
    Word word = commanded ? tree.word(b.state()) : tree.word(b.name());
    var mode = new KindMember.Mode(b.NOT() != null, commanded, word, tree.span(b));
    return new KindMember.Behaviour(mode, tree.span(b));
  }

  private List<Word> states(PlantParser.@Nullable StatesContext s) {
    return s == null ? List.of() : tree.words(s.state());
  }
}
