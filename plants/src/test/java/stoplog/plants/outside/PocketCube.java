package stoplog.plants.outside;

import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.shift;

import java.util.ArrayList;
import java.util.List;
import stoplog.checker.testkit.Change;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * The 2x2x2 cube with one corner held fast: three faces turn. Each of the seven other places holds a
 * corner piece with one of three twists, as piece * 3 + twist.
 */
final class PocketCube {
  /** For each face: its four places in the order in which a quarter turn fills one from the next. */
  private static final int[][] PLACES = {{0, 3, 2, 1}, {0, 4, 6, 3}, {0, 1, 5, 4}};

  /** For each face and place of the above: the twist a piece takes on when it comes there. */
  private static final int[][] TWISTS = {{0, 0, 0, 0}, {2, 1, 2, 1}, {1, 2, 1, 2}};

  private PocketCube() {}

  /**
   * @param halfTurns whether a half turn counts as one step; a quarter turn back does in any case
   */
  static Model model(boolean halfTurns) {
    var m = new ModelBuilder("pocket cube").powered(Expr.FALSE);
    List<Var> places = new ArrayList<>();
    for (int i = 0; i < 7; i++) {
      places.add(m.number("place " + i, Role.PROCESS, 21).starts(3 * i));
    }
    // Holds a piece in the midst of a turn; 0 between turns.
    Var hand = m.number("hand", Role.PROCESS, 21);
    for (int face = 0; face < 3; face++) {
      for (int quarters = 1; quarters <= 3; quarters++) {
        if (quarters != 2 || halfTurns) {
          Change turn = m.change("face " + face + " by " + quarters);
          for (int i = 0; i < quarters; i++) {
            quarter(turn, places, hand, face);
          }
        }
      }
    }
    return m.build();
  }

  private static void quarter(Change turn, List<Var> places, Var hand, int face) {
    int[] cycle = PLACES[face];
    turn.does(hand.to(places.get(cycle[0]).read()));
    for (int i = 0; i < 4; i++) {
      Var from = i == 3 ? hand : places.get(cycle[i + 1]);
      turn.does(places.get(cycle[i]).to(twisted(from, TWISTS[face][i])));
    }
    turn.does(hand.to(0));
  }

  private static Expr twisted(Var piece, int by) {
    if (by == 0) {
      return piece.read();
    }
    long wraps = 0;
    for (int value = 0; value < 21; value++) {
      if (value % 3 + by >= 3) {
        wraps |= 1L << value;
      }
    }
    return choose(new Expr.In(piece.read(), wraps), shift(piece.read(), by - 3), shift(piece.read(), by));
  }
}
