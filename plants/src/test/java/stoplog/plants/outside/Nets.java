package stoplog.plants.outside;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * Nets of places and transitions, written as lines {@code name: place place > place}: a transition
 * takes one token from each place on the left and puts one on each place on the right.
 */
public final class Nets {
  private Nets() {}

  /** The Kanban net: four cells with n cards each. */
  public static Model kanban(int n) {
    var net = new StringBuilder();
    for (int i = 1; i <= 4; i++) {
      net.append(
          """
          redo%1$d: m%1$d > back%1$d
          ok%1$d: m%1$d > out%1$d
          again%1$d: back%1$d > m%1$d
          """
              .formatted(i));
    }
    net.append(
        """
        in1: kan1 > m1
        s1_23: out1 kan2 kan3 > kan1 m2 m3
        s23_4: out2 out3 kan4 > kan2 kan3 m4
        out4: out4 > kan4
        """);
    return of(
        "Kanban " + n, n, Map.of("kan1", n, "kan2", n, "kan3", n, "kan4", n), net.toString());
  }

  /** The flexible manufacturing net without priorities: n pallets of each of three parts. */
  static Model manufacturing(int n) {
    var start = Map.of("P1", n, "P2", n, "P3", n, "M1", 3, "M2", 1, "M3", 2);
    return of(
        "manufacturing " + n,
        Math.max(n, 3),
        start,
        """
        tP1: P1 > P1wM1
        tM1: P1wM1 M1 > P1M1
        tP1M1: P1M1 > P1d M1
        tP1e: P1d > P1s
        tP1j: P1d > P1wP2
        tP1s: P1s > P1
        tP2: P2 > P2wM2
        tM2: P2wM2 M2 > P2M2
        tP2M2: P2M2 > P2d M2
        tP2e: P2d > P2s
        tP2j: P2d > P2wP1
        tP2s: P2s > P2
        tP3: P3 > P3M2
        tP3M2: P3M2 M2 > P3s M2
        tP3s: P3s > P3
        tx: P1wP2 P2wP1 > P12
        tP12: P12 > P12wM3
        tM3: P12wM3 M3 > P12M3
        tP12M3: P12M3 > P12s M3
        tP12s: P12s > P1 P2
        """);
  }

  /** @param most no place ever holds more tokens */
  private static Model of(String name, int most, Map<String, Integer> start, String net) {
    var m = new ModelBuilder(name).powered(Expr.FALSE);
    Map<String, Var> places = new HashMap<>();
    for (String line : net.lines().toList()) {
      String[] named = line.split(": ");
      String[] sides = named[1].split(" > ");
      List<Expr> guard = new ArrayList<>();
      var change = m.change(named[0]);
      List<String> taken = List.of(sides[0].split(" "));
      List<String> given = List.of(sides[1].split(" "));
      for (String p : taken) {
        Var place = place(m, places, p, most, start);
        guard.add(Expr.not(place.is(0)));
        if (!given.contains(p)) {
          change.does(place.to(ModelBuilder.shift(place.read(), -1)));
        }
      }
      for (String p : given) {
        Var place = place(m, places, p, most, start);
        if (!taken.contains(p)) {
          change.does(place.to(ModelBuilder.shift(place.read(), 1)));
        }
      }
      change.when(Expr.all(guard));
    }
    return m.build();
  }

  private static Var place(
      ModelBuilder m, Map<String, Var> places, String name, int most, Map<String, Integer> start) {
    return places.computeIfAbsent(
        name,
        p -> m.number(p, Role.PROCESS, most + 1).starts(start.getOrDefault(p, 0).intValue()));
  }
}
