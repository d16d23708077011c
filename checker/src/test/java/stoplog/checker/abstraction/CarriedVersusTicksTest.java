package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.model.Verdict;

/**
 * Random models are proved, edited at random, and the proof is carried over the edit or not. Where it is
 * carried, the search that it stands for finds nothing in the edited model either, and no tick of any
 * run breaks the claim. {@code -Dseeds=N} tries N models, {@code -Dseed=S} starts at S.
 */
class CarriedVersusTicksTest {
  private static final Budget BUDGET = new Budget(50_000, 1L << 28, Duration.ofSeconds(10));
  private static final int EDITS = 40;

  @Test
  void carriedProofsAreProofsOfTheEditedModel() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 200);
    int carried = 0;
    int dropped = 0;
    var wrong = new ArrayList<String>();
    for (long seed = first; seed < first + count; seed++) {
      Model model =
          switch ((int) (seed % 3)) {
            case 0 -> RandomModel.withGroups(seed);
            case 1 -> RandomModel.of(seed);
            default -> RandomModel.withoutClocks(seed);
          };
      Claim claim = model.claims().getFirst();
      var reads = new Reads(model);
      var random = new Random(seed);
      Precedent.Proof proof = proof(reads, claim, random);
      if (proof == null) {
        continue;
      }
      for (int e = 0; e < EDITS; e++) {
        var edit = new Edit(model, random);
        edit.any();
        if (random.nextBoolean()) {
          edit.any();
        }
        Model edited = edit.model();
        Claim asked = edited.claims().getFirst();
        var readsThen = new Reads(edited);
        Verdict again = proof.carried(readsThen, asked);
        if (again == null) {
          dropped++;
          continue;
        }
        carried++;
        Search.Outcome outcome = search(readsThen, asked, kept(proof.grounds().parts().getFirst(), edited));
        if (!(outcome instanceof Search.Outcome.Exhausted)) {
          wrong.add("seed " + seed + " edit " + e + " (" + edit.done + "): " + outcome);
        } else if (e % 8 == 0 && TickJudge.reachable(edited, asked, 20_000) instanceof TickJudge.Yes) {
          wrong.add("seed " + seed + " edit " + e + " (" + edit.done + "): reachable");
        }
      }
    }
    System.out.printf("%d carried, %d dropped, wrong: %s%n", carried, dropped, wrong);
    assertEquals(List.of(), wrong);
    assertTrue(carried > count, "too few to mean much");
  }

  /** A proof by what the decider keeps, or by anything else that will do; null if there is none. */
  private static Precedent.@Nullable Proof proof(Reads reads, Claim claim, Random random) {
    if (random.nextInt(3) == 0) {
      Decider.Decision d = Decider.decideRecorded(reads, claim, false, BUDGET, Progress.NONE);
      return d.verdict() instanceof Verdict.Proved p && d.grounds() != null
          ? new Precedent.Proof(d.grounds(), p.longestQuanta(), 1, 1)
          : null;
    }
    for (int i = 0; i < 4; i++) {
      BitSet variables = reads.of(claim.condition());
      claim.monitors().forEach(m -> variables.set(m.variable()));
      int share = 1 + random.nextInt(3);
      for (int v = 0; v < reads.model().variables().size(); v++) {
        if (random.nextInt(4) < share) {
          variables.set(v);
        }
      }
      int many = random.nextInt(3);
      List<Group> groups =
          new Groups(reads.model()).all(claim).stream()
              .filter(g -> random.nextInt(3) < many)
              .toList();
      Kept kept =
          new Kept(new BitSet(), false)
              .with(variables, random.nextInt(4) > 0, reads)
              .with(groups);
      if (reads.restless().isEmpty()
          && search(reads, claim, kept) instanceof Search.Outcome.Exhausted) {
        return new Precedent.Proof(Grounds.of(reads, claim, kept), 0, 1, 1);
      }
    }
    return null;
  }

  private static Kept kept(Grounds.Part grounds, Model model) {
    Map<String, Integer> index = model.indexByName();
    BitSet variables = new BitSet();
    grounds.keeps().forEach(n -> variables.set(index.get(n)));
    List<Group> groups =
        grounds.groups().stream()
            .map(
                g ->
                    new Group(
                        g.atLeast(),
                        g.members().stream()
                            .map(m -> new Group.Member(index.get(m.variable()), m.values()))
                            .toList()))
            .toList();
    return new Kept(variables, grounds.due(), groups);
  }

  private static Search.Outcome search(Reads reads, Claim claim, Kept kept) {
    Search.Outcome merged =
        new Searches("C", BUDGET, Progress.NONE)
            .run(new KeptSystem(reads, claim, kept), kept, Search.Zoning.MERGED);
    return merged instanceof Search.Outcome.Exhausted
        ? merged
        : new Searches("C", BUDGET, Progress.NONE)
            .run(new KeptSystem(reads, claim, kept), kept, Search.Zoning.FOR_REACHING);
  }

  /** One or more changes of a model. */
  private static final class Edit {
    private final Model m;
    private final Random random;
    private final List<Variable> variables;
    private final List<Clock> clocks;
    private final List<FieldChange> changes;
    private Controller controller;
    private final List<Assignment> start;
    private final List<Assignment> reactions;
    private Claim claim;
    private String done = "";

    Edit(Model m, Random random) {
      this.m = m;
      this.random = random;
      variables = new ArrayList<>(m.variables());
      clocks = new ArrayList<>(m.clocks());
      changes = new ArrayList<>(m.changes());
      controller = m.controller();
      start = new ArrayList<>(m.start());
      reactions = new ArrayList<>(m.reactions());
      claim = m.claims().getFirst();
    }

    Model model() {
      return new Model(
          m.name(), m.quantumMicros(), variables, m.definitions(), clocks, changes, controller, start,
          reactions, List.of(claim), m.inhibits(), m.indications());
    }

    void any() {
      int kind = changes.isEmpty() ? 11 : random.nextInt(12);
      done += kind + " ";
      switch (kind) {
        case 0 -> initial();
        case 1 -> window();
        case 2 -> changes.set(pick(changes), withEffects(changes.get(picked), assignments(changes.get(picked).effects())));
        case 3 -> guard();
        case 4 -> cause();
        case 5 -> program(assignments(controller.program()));
        case 6 -> replace(reactions);
        case 7 -> replace(start);
        case 8 -> swapped();
        case 9 -> limit();
        case 10 -> names();
        default -> added();
      }
    }

    private int picked;

    private int pick(List<?> of) {
      picked = random.nextInt(of.size());
      return picked;
    }

    private void replace(List<Assignment> list) {
      List<Assignment> with = assignments(list);
      list.clear();
      list.addAll(with);
    }

    private void program(List<Assignment> program) {
      controller =
          new Controller(
              controller.reactionQuanta(), controller.coincident(), controller.powered(), program);
    }

    /** Without one, with one more, with one turned, or in another order. */
    private List<Assignment> assignments(List<Assignment> was) {
      var list = new ArrayList<>(was);
      switch (list.isEmpty() ? 0 : random.nextInt(4)) {
        case 0 -> {
          int v = random.nextInt(variables.size());
          if (variables.get(v).role() != Role.MONITOR) {
            list.add(random.nextInt(list.size() + 1), new Assignment(v, value(v)));
          }
        }
        case 1 -> list.remove(pick(list));
        case 2 -> {
          Assignment a = list.get(pick(list));
          list.set(picked, new Assignment(a.variable(), value(a.variable())));
        }
        default -> Collections.shuffle(list, random);
      }
      return list;
    }

    private Expr value(int target) {
      int read = random.nextInt(variables.size());
      int size = variables.get(target).size();
      return variables.get(read).role() == Role.MONITOR || random.nextInt(3) == 0
          ? new Expr.Constant(random.nextInt(size))
          : variables.get(read).size() <= size && random.nextBoolean()
              ? new Expr.Read(read)
              : new Expr.In(new Expr.Read(read), 1L << random.nextInt(variables.get(read).size()));
    }

    private void initial() {
      Variable v = variables.get(pick(variables));
      long initial = 1 + random.nextLong(v.domain());
      variables.set(
          picked,
          new Variable(v.id(), v.name(), v.role(), v.values(), initial, v.text(), v.origin()));
    }

    private void window() {
      FieldChange c = changes.get(pick(changes));
      FieldChange.Timing t = c.timing();
      if (t != null) {
        Bound earliest = Bound.at(random.nextInt((int) t.earliest().quanta() + 1));
        changes.set(picked, new FieldChange(c.id(), c.text(), c.cause(), c.guard(), random.nextInt(3) == 0 ? null : new FieldChange.Timing(t.clock(), earliest, random.nextBoolean() ? null : t.latest()), c.effects(), c.origin()));
      }
    }

    private void guard() {
      FieldChange c = changes.get(pick(changes));
      int v = random.nextInt(variables.size());
      Expr guard = variables.get(v).role() == Role.MONITOR ? Expr.TRUE : Expr.is(v, random.nextInt(variables.get(v).size()));
      changes.set(picked, new FieldChange(c.id(), c.text(), c.cause(), random.nextBoolean() ? Expr.TRUE : Expr.any(guard, c.guard()), c.timing(), c.effects(), c.origin()));
    }

    private void cause() {
      FieldChange c = changes.get(pick(changes));
      var cause = c.cause() == FieldChange.Cause.FAULT ? FieldChange.Cause.PROCESS : FieldChange.Cause.FAULT;
      changes.set(picked, new FieldChange(c.id(), c.text(), cause, c.guard(), c.timing(), c.effects(), c.origin()));
    }

    private static FieldChange withEffects(FieldChange c, List<Assignment> effects) {
      return new FieldChange(c.id(), c.text(), c.cause(), c.guard(), c.timing(), effects, c.origin());
    }

    private void swapped() {
      if (random.nextInt(3) == 0) {
        controller = new Controller(random.nextInt(3), 1 + random.nextInt(3), controller.powered(), controller.program());
      } else if (random.nextBoolean()) {
        claim = new Claim(claim.id(), "", claim.kind(), claim.condition(), claim.forQuanta(), claim.monitors(), random.nextInt(3), List.of(), claim.basis(), claim.origin());
      } else {
        FieldChange c = changes.remove(pick(changes));
        for (int i = picked; i < changes.size(); i++) {
          FieldChange d = changes.get(i);
          changes.set(i, new FieldChange(i, d.text(), d.cause(), d.guard(), d.timing(), d.effects(), d.origin()));
        }
      }
    }

    private void limit() {
      if (!clocks.isEmpty()) {
        Clock c = clocks.get(pick(clocks));
        Bound limit = c.limit();
        clocks.set(picked, new Clock(c.id(), c.name(), c.running(), limit == null || random.nextBoolean() ? null : new Bound(limit.quanta() + 1, limit.closed()), c.origin()));
      }
    }

    private void names() {
      Variable a = variables.get(pick(variables));
      int at = picked;
      Variable b = variables.get(pick(variables));
      if (at != picked) {
        variables.set(at, new Variable(a.id(), b.name(), a.role(), a.values(), a.initial(), a.text(), a.origin()));
        variables.set(picked, new Variable(b.id(), a.name(), b.role(), b.values(), b.initial(), b.text(), b.origin()));
      }
    }

    private void added() {
      changes.add(new FieldChange(changes.size(), "added", random.nextInt(4) == 0 ? FieldChange.Cause.FAULT : FieldChange.Cause.PROCESS, Expr.TRUE, null, assignments(List.of()), m.variables().getFirst().origin()));
    }
  }
}
