package stoplog.plants.outside;

import java.util.ArrayList;
import java.util.List;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

/** Philosophers around a table, one fork between each two of them. Claim "stuck": nobody can move. */
final class Philosophers {
  private Philosophers() {}

  /** Hungry for both forks at once, each then taken in either order; both are laid down together. */
  static Model eitherOrder(int count) {
    var m = new ModelBuilder(count + " philosophers, either fork first").powered(Expr.FALSE);
    List<Var> forks = new ArrayList<>();
    List<Var> lefts = new ArrayList<>();
    List<Var> rights = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      forks.add(m.variable("fork " + i, Role.PROCESS, "on the table", "taken"));
      lefts.add(m.variable("left hand " + i, Role.PROCESS, "idle", "waits", "holds"));
      rights.add(m.variable("right hand " + i, Role.PROCESS, "idle", "waits", "holds"));
    }
    for (int i = 0; i < count; i++) {
      Var left = lefts.get(i);
      Var right = rights.get(i);
      Var leftFork = forks.get(i);
      Var rightFork = forks.get((i + 1) % count);
      m.change(i + " is hungry")
          .when(Expr.all(left.is("idle"), right.is("idle")))
          .does(left.to("waits"), right.to("waits"));
      m.change(i + " takes left")
          .when(Expr.all(left.is("waits"), leftFork.is("on the table")))
          .does(left.to("holds"), leftFork.to("taken"));
      m.change(i + " takes right")
          .when(Expr.all(right.is("waits"), rightFork.is("on the table")))
          .does(right.to("holds"), rightFork.to("taken"));
      m.change(i + " has eaten")
          .when(Expr.all(left.is("holds"), right.is("holds")))
          .does(
              left.to("idle"),
              right.to("idle"),
              leftFork.to("on the table"),
              rightFork.to("on the table"));
    }
    m.can("stuck", Expr.any(allHold(lefts, rights), allHold(rights, lefts)));
    return m.build();
  }

  private static Expr allHold(List<Var> holding, List<Var> waiting) {
    List<Expr> all = new ArrayList<>();
    holding.forEach(hand -> all.add(hand.is("holds")));
    waiting.forEach(hand -> all.add(hand.is("waits")));
    return Expr.all(all);
  }

  /** Left fork, then right fork, then both laid down. */
  static Model leftFirst(int count) {
    var m = new ModelBuilder(count + " philosophers, left fork first").powered(Expr.FALSE);
    List<Var> seats = seats(m, count, "thinks", "has left", "eats");
    for (int i = 0; i < count; i++) {
      Var seat = seats.get(i);
      Var before = seats.get((i + count - 1) % count);
      Var after = seats.get((i + 1) % count);
      // The left fork is the right fork of the one before; the right fork the left one of the next.
      m.change(i + " takes left")
          .when(Expr.all(seat.is("thinks"), Expr.not(before.is("eats"))))
          .does(seat.to("has left"));
      m.change(i + " takes right")
          .when(Expr.all(seat.is("has left"), after.is("thinks")))
          .does(seat.to("eats"));
      m.change(i + " has eaten").when(seat.is("eats")).does(seat.to("thinks"));
    }
    m.can("stuck", Expr.all(seats.stream().map(s -> s.is("has left")).toList()));
    return m.build();
  }

  /** Both forks at once, or none. */
  static Model bothAtOnce(int count) {
    var m = new ModelBuilder(count + " philosophers, both forks at once").powered(Expr.FALSE);
    List<Var> seats = seats(m, count, "thinks", "eats");
    for (int i = 0; i < count; i++) {
      Var seat = seats.get(i);
      Var before = seats.get((i + count - 1) % count);
      Var after = seats.get((i + 1) % count);
      m.change(i + " takes both")
          .when(Expr.all(seat.is("thinks"), before.is("thinks"), after.is("thinks")))
          .does(seat.to("eats"));
      m.change(i + " has eaten").when(seat.is("eats")).does(seat.to("thinks"));
    }
    return m.build();
  }

  private static List<Var> seats(ModelBuilder m, int count, String... words) {
    List<Var> seats = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      seats.add(m.variable("philosopher " + i, Role.PROCESS, words));
    }
    return seats;
  }
}
