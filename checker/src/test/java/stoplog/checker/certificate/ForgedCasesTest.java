package stoplog.checker.certificate;

import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

/** As {@link ForgedStepsTest}, of proofs by cases. */
class ForgedCasesTest extends Forgery {
  /** One case never happens, the other does. */
  @Test
  void everyCaseIsLookedAt() {
    Var a = m.number("a", Role.PROCESS, 3);
    Var b = m.number("b", Role.PROCESS, 3);
    for (Var v : List.of(a, b)) {
      m.change(v == a ? "a comes" : "b comes").when(v.is(0)).does(v.to(1));
    }
    m.hazard("H-1", any(a.is(2), b.is(1)));
    Model model = m.build();
    Certificate first = of(model, List.of("a"), state(0), state(1));
    Certificate second = of(model, List.of("b"), state(0));
    assertLeadsOut("b comes", model, Certificate.of(List.of(first, second)));
    String unkept = "it does not keep all that the claim speaks of";
    assertRefused(unkept, model, Certificate.of(List.of(first, first)));
    String others = "it proves other cases than the claim has";
    assertRefused(others, model, Certificate.of(List.of(first)));
    assertRefused(others, model, Certificate.of(List.of(first, second, second)));
  }

  /** Of several lists the longest counts, of several of one length the first. */
  @Test
  void casesAreThoseOfTheFirstLongestList() {
    Expr first = any(m.bit("a", Role.PROCESS).on(), m.bit("b", Role.PROCESS).on());
    Expr second = any(m.switched("c").on(), m.switched("d").on());
    m.hazard("H-1", all(first, second));
    Model model = m.build();
    Certificate a = of(model, List.of("a", "c", "d"), all4());
    Certificate b = of(model, List.of("b", "c", "d"), all4());
    assertStands(model, Certificate.of(List.of(a, b)));
  }

  private static Certificate.State[] all4() {
    return new Certificate.State[] {state(0, 0, 0), state(0, 0, 1), state(0, 1, 0), state(0, 1, 1)};
  }

  // Which of several things was so last

  /** Two things of two variables each; the hazard is that neither is so for a time. */
  private List<Var> things(int a, int b, int c, int d, Expr beside) {
    List<Var> v =
        List.of(
            m.bit("a", Role.PROCESS).starts(a), m.bit("b", Role.PROCESS).starts(b),
            m.bit("c", Role.PROCESS).starts(c), m.bit("d", Role.PROCESS).starts(d));
    Expr first = all(v.get(0).on(), v.get(1).on());
    Expr second = all(v.get(2).on(), v.get(3).on());
    m.hazard("H-1", all(not(any(first, second)), beside)).longerThan(1);
    return v;
  }

  private static Certificate keeping(Model model, int one, Certificate.State... states) {
    return of(model, List.of("a", "b", "c", "d", "H-1.last" + one), states);
  }

  /** Neither is so from the start on. */
  @Test
  void whereNothingWasSoYetEachThingMayHaveBeenLast() {
    things(0, 0, 0, 0, Expr.TRUE);
    Model model = m.build();
    Certificate.State none = state(0, 0, 0, 0, 0);
    Certificate.State one = state(0, 0, 0, 0, 1);
    assertLeadsOut(
        "a start",
        model,
        Certificate.of(List.of(keeping(model, 1, none), keeping(model, 2, none))));
    assertRefused(
        "it holds a state that breaks the claim",
        model,
        Certificate.of(List.of(keeping(model, 1, one), keeping(model, 2, one))));
  }

  /** Both are so, and end in one instant. */
  @Test
  void ofThingsThatAreSoTogetherEachIsLast() {
    List<Var> v = things(1, 1, 1, 1, Expr.TRUE);
    m.change("both end").does(v.get(0).to(0), v.get(2).to(0));
    Model model = m.build();
    Certificate.State before = state(1, 1, 1, 1, 0);
    Certificate.State after = state(0, 1, 0, 1, 0);
    Certificate first = keeping(model, 1, before, after);
    Certificate second = keeping(model, 2, before, after);
    assertLeadsOut("a start", model, Certificate.of(List.of(first, second)));
  }

  /** A thing that is so makes it that no other was last. */
  @Test
  void thingThatIsSoIsLast() {
    things(0, 0, 1, 1, Expr.TRUE);
    Model model = m.build();
    assertStands(
        model,
        Certificate.of(
            List.of(
                keeping(model, 1, state(0, 0, 1, 1, 0)), keeping(model, 2, state(0, 0, 1, 1, 1)))));
  }

  /** Scans come whichever was last. */
  @Test
  void scansComeWhateverTheCaseRemembers() {
    Var lamp = m.bit("lamp", Role.COMMAND);
    things(0, 0, 1, 1, lamp.on());
    m.scans(lamp.to(1));
    Model model = m.build();
    List<String> first = List.of("lamp", "a", "b", "c", "d", "H-1.last1");
    List<String> second = List.of("lamp", "a", "b", "c", "d", "H-1.last2");
    Certificate dark = of(model, first, state(0, 0, 0, 1, 1, 0));
    Certificate right =
        of(model, second, state(0, 0, 0, 1, 1, 1), state(1, 0, 0, 1, 1, 1));
    assertLeadsOut("a scan", model, Certificate.of(List.of(dark, right)));
    Certificate lit = of(model, first, state(0, 0, 0, 1, 1, 0), state(1, 0, 0, 1, 1, 0));
    assertStands(model, Certificate.of(List.of(lit, right)));
  }
}
