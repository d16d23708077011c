package stoplog.plants.outside;

import static stoplog.checker.testkit.ModelBuilder.same;

import java.util.ArrayList;
import java.util.List;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

/** Rivers to be crossed, and jugs to be filled from them. */
final class Crossings {
  private Crossings() {}

  /**
   * A man with a wolf, a goat and a cabbage. Claim "across" asks for all on the other bank, "eaten" for
   * the goat with the wolf or the cabbage and without the man.
   *
   * @param safeOnly whether the man refuses crossings that leave something to be eaten
   */
  static Model wolfGoatCabbage(boolean safeOnly) {
    String rule = safeOnly ? ", safe states only" : "";
    var m = new ModelBuilder("wolf, goat and cabbage" + rule).powered(Expr.FALSE);
    Var man = m.bit("man", Role.PROCESS);
    Var wolf = m.bit("wolf", Role.PROCESS);
    Var goat = m.bit("goat", Role.PROCESS);
    Var cabbage = m.bit("cabbage", Role.PROCESS);
    for (Var taken : List.of(man, wolf, goat, cabbage)) {
      var change = m.change(taken == man ? "man crosses alone" : "man crosses with another");
      change.when(Expr.all(mayTake(taken, man, wolf, goat, cabbage, safeOnly)));
      if (taken != man) {
        change.does(taken.to(Puzzles.other(man)));
      }
      change.does(man.to(Puzzles.other(man)));
    }
    m.can("across", Expr.all(man.on(), wolf.on(), goat.on(), cabbage.on()));
    Expr goatAlone = Expr.not(same(goat.read(), man.read()));
    m.can(
        "eaten",
        Expr.all(
            goatAlone,
            Expr.any(same(goat.read(), wolf.read()), same(goat.read(), cabbage.read()))));
    return m.build();
  }

  /**
   * The same, keeping what was taken in each crossing: each way across is a state of its own. After the last
   * crossing all that is left to do is to say that they are across.
   */
  static Model wolfGoatCabbageWays(int crossings) {
    var m = new ModelBuilder("wolf, goat and cabbage, ways in " + crossings).powered(Expr.FALSE);
    Var man = m.bit("man", Role.PROCESS);
    Var wolf = m.bit("wolf", Role.PROCESS);
    Var goat = m.bit("goat", Role.PROCESS);
    Var cabbage = m.bit("cabbage", Role.PROCESS);
    List<Var> passengers = List.of(man, wolf, goat, cabbage);
    Var done = m.number("crossings", Role.PROCESS, crossings + 2);
    for (int k = 0; k < crossings; k++) {
      Var kept = m.number("taken in crossing " + k, Role.PROCESS, passengers.size() + 1);
      for (Var taken : passengers) {
        List<Expr> guard = mayTake(taken, man, wolf, goat, cabbage, true);
        guard.add(done.is(k));
        var change = m.change("crossing " + k).when(Expr.all(guard));
        if (taken != man) {
          change.does(taken.to(Puzzles.other(man)));
        }
        change.does(man.to(Puzzles.other(man)), done.to(k + 1), kept.to(passengers.indexOf(taken) + 1));
      }
    }
    Expr across = Expr.all(man.on(), wolf.on(), goat.on(), cabbage.on());
    m.change("across").when(Expr.all(done.is(crossings), across)).does(done.to(crossings + 1));
    return m.build();
  }

  /** What has to hold for the man to take one of them, or himself alone. */
  private static List<Expr> mayTake(
      Var taken, Var man, Var wolf, Var goat, Var cabbage, boolean safeOnly) {
    List<Expr> guard = new ArrayList<>();
    if (taken != man) {
      guard.add(same(taken.read(), man.read()));
    }
    if (safeOnly) {
      // What stays behind on the bank the man leaves.
      for (Var eater : List.of(wolf, cabbage)) {
        if (taken != goat && taken != eater) {
          guard.add(Expr.not(Expr.all(same(goat.read(), man.read()), same(eater.read(), man.read()))));
        }
      }
    }
    return guard;
  }

  /**
   * As many missionaries as cannibals; the latter never outnumber the former where there are any, on
   * either bank or in the boat. Claim "across" asks for all on the other bank.
   */
  static Model missionaries(int each, int boatHolds) {
    var m = new ModelBuilder(each + " missionaries, boat for " + boatHolds).powered(Expr.FALSE);
    Var missionaries = m.number("missionaries here", Role.PROCESS, each + 1).starts(each);
    Var cannibals = m.number("cannibals here", Role.PROCESS, each + 1).starts(each);
    Var boat = m.variable("boat", Role.PROCESS, "here", "there");
    for (int taken = 0; taken <= boatHolds; taken++) {
      for (int takenCannibals = 0; taken + takenCannibals <= boatHolds; takenCannibals++) {
        if (taken + takenCannibals > 0 && (taken == 0 || taken >= takenCannibals)) {
          row(m, each, missionaries, cannibals, boat, new int[] {-taken, -takenCannibals});
          row(m, each, missionaries, cannibals, boat, new int[] {taken, takenCannibals});
        }
      }
    }
    m.can("across", Expr.all(missionaries.is(0), cannibals.is(0), boat.is("there")));
    return m.build();
  }

  private static void row(
      ModelBuilder m, int each, Var missionaries, Var cannibals, Var boat, int[] by) {
    boolean away = by[0] + by[1] < 0;
    List<Expr> allowed = new ArrayList<>();
    for (int left = 0; left <= each; left++) {
      for (int leftCannibals = 0; leftCannibals <= each; leftCannibals++) {
        int before = left - by[0];
        int beforeCannibals = leftCannibals - by[1];
        boolean peaceful = left == 0 || left == each || left == leftCannibals;
        if (peaceful
            && before >= 0
            && before <= each
            && beforeCannibals >= 0
            && beforeCannibals <= each) {
          allowed.add(Expr.all(missionaries.is(before), cannibals.is(beforeCannibals)));
        }
      }
    }
    m.change(by[0] + " missionaries, " + by[1] + " cannibals")
        .when(Expr.all(boat.is(away ? "here" : "there"), Expr.any(allowed)))
        .does(
            missionaries.to(ModelBuilder.shift(missionaries.read(), by[0])),
            cannibals.to(ModelBuilder.shift(cannibals.read(), by[1])),
            boat.to(away ? "there" : "here"));
  }

  /** Two empty jugs, a spring and a drain. Claim "measured" asks for so much in one of them. */
  static Model jugs(int first, int second, int wanted) {
    var m = new ModelBuilder("jugs of " + first + " and " + second).powered(Expr.FALSE);
    Var a = m.number("first jug", Role.PROCESS, first + 1);
    Var b = m.number("second jug", Role.PROCESS, second + 1);
    m.change("fill the first").does(a.to(first));
    m.change("fill the second").does(b.to(second));
    m.change("empty the first").does(a.to(0));
    m.change("empty the second").does(b.to(0));
    pour(m, a, first, b, second);
    pour(m, b, second, a, first);
    m.can("measured", Expr.any(holds(a, first, wanted), holds(b, second, wanted)));
    return m.build();
  }

  private static Expr holds(Var jug, int size, int wanted) {
    return wanted > size ? Expr.FALSE : jug.is(wanted);
  }

  /** Jugs of 8, 5 and 3, the first full; nothing is added or lost. Claim "halved": 4, 4, 0. */
  static Model pourOnly() {
    var m = new ModelBuilder("jugs of 8, 5 and 3").powered(Expr.FALSE);
    int[] size = {8, 5, 3};
    List<Var> jugs = new ArrayList<>();
    for (int i = 0; i < 3; i++) {
      jugs.add(m.number("jug of " + size[i], Role.PROCESS, size[i] + 1).starts(i == 0 ? 8 : 0));
    }
    for (int from = 0; from < 3; from++) {
      for (int to = 0; to < 3; to++) {
        if (from != to) {
          pour(m, jugs.get(from), size[from], jugs.get(to), size[to]);
        }
      }
    }
    m.can("halved", Expr.all(jugs.get(0).is(4), jugs.get(1).is(4), jugs.get(2).is(0)));
    return m.build();
  }

  /** Until the one is empty or the other full: one change for each pair of amounts. */
  private static void pour(ModelBuilder m, Var from, int fromSize, Var to, int toSize) {
    for (int a = 1; a <= fromSize; a++) {
      for (int b = 0; b < toSize; b++) {
        int moved = Math.min(a, toSize - b);
        m.change("pour " + moved)
            .when(Expr.all(from.is(a), to.is(b)))
            .does(from.to(a - moved), to.to(b + moved));
      }
    }
  }
}
