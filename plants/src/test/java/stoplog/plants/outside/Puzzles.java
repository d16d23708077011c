package stoplog.plants.outside;

import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;

import java.util.ArrayList;
import java.util.List;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

/** Puzzles of one player: sliding tiles, towers, lamps. */
public final class Puzzles {
  private Puzzles() {}

  /** Sliding tiles on a grid, the blank (value 0) in the first cell at the start. */
  public static Model sliding(int rows, int columns) {
    var m = new ModelBuilder(rows + "x" + columns + " sliding puzzle").powered(Expr.FALSE);
    int cells = rows * columns;
    List<Var> cell = new ArrayList<>();
    for (int i = 0; i < cells; i++) {
      cell.add(m.number("cell " + i, Role.PROCESS, cells).starts(i));
    }
    for (int blank = 0; blank < cells; blank++) {
      for (int from = 0; from < cells; from++) {
        if (adjacent(blank, from, columns)) {
          m.change("tile of cell " + from + " to cell " + blank)
              .when(cell.get(blank).is(0))
              .does(cell.get(blank).to(cell.get(from).read()), cell.get(from).to(0));
        }
      }
    }
    return m.build();
  }

  private static boolean adjacent(int a, int b, int columns) {
    int rowsApart = Math.abs(a / columns - b / columns);
    int columnsApart = Math.abs(a % columns - b % columns);
    return rowsApart + columnsApart == 1;
  }

  /** A tower of discs on the first peg; claim "done" asks for it on the last. */
  static Model hanoi(int pegs, int discs) {
    var m = new ModelBuilder(discs + " discs on " + pegs + " pegs").powered(Expr.FALSE);
    List<Var> disc = new ArrayList<>();
    List<Expr> done = new ArrayList<>();
    for (int i = 0; i < discs; i++) {
      Var added = m.number("disc " + i, Role.PROCESS, pegs);
      disc.add(added);
      done.add(added.is(pegs - 1));
    }
    for (int moved = 0; moved < discs; moved++) {
      for (int from = 0; from < pegs; from++) {
        for (int to = 0; to < pegs; to++) {
          if (from != to) {
            // No smaller disc lies on either peg.
            List<Expr> guard = new ArrayList<>(List.of(disc.get(moved).is(from)));
            for (int smaller = 0; smaller < moved; smaller++) {
              guard.add(Expr.not(disc.get(smaller).is(from)));
              guard.add(Expr.not(disc.get(smaller).is(to)));
            }
            m.change("disc " + moved + " to peg " + to)
                .when(Expr.all(guard))
                .does(disc.get(moved).to(to));
          }
        }
      }
    }
    m.can("done", Expr.all(done));
    return m.build();
  }

  /** Lamps in a square, all dark at the start; a press toggles a lamp and its neighbours. */
  static Model lightsOut(int side) {
    var m = new ModelBuilder(side + "x" + side + " lamps").powered(Expr.FALSE);
    List<Var> lamp = new ArrayList<>();
    for (int i = 0; i < side * side; i++) {
      lamp.add(m.bit("lamp " + i, Role.PROCESS));
    }
    for (int pressed = 0; pressed < side * side; pressed++) {
      var change = m.change("press " + pressed);
      for (int i = 0; i < side * side; i++) {
        if (i == pressed || adjacent(i, pressed, side)) {
          change.does(lamp.get(i).to(Expr.not(lamp.get(i).on())));
        }
      }
    }
    return m.build();
  }

  /**
   * The block puzzle of the general's escape: a 2x2 block, four upright and one lying 1x2 block, four
   * single ones on five rows of four; one block moves one cell at a time. Pieces of one shape are
   * alike, so a state says of each cell which part of which shape lies there. Claim "out" asks for the
   * big block in the middle of the last row.
   */
  static Model generalsEscape() {
    String[] parts = {
      "empty", "single", "top", "bottom", "left", "right", "big 00", "big 01", "big 10", "big 11"
    };
    int[][] layout = {
      {2, 6, 7, 2}, {3, 8, 9, 3}, {2, 4, 5, 2}, {3, 1, 1, 3}, {1, 0, 0, 1},
    };
    var m = new ModelBuilder("general's escape").powered(Expr.FALSE);
    Var[][] cell = new Var[5][4];
    for (int r = 0; r < 5; r++) {
      for (int c = 0; c < 4; c++) {
        cell[r][c] = m.variable("cell " + r + c, Role.PROCESS, parts).starts(layout[r][c]);
      }
    }
    // Each shape: its parts as they lie, row by row.
    int[][][] shapes = {{{1}}, {{2}, {3}}, {{4, 5}}, {{6, 7}, {8, 9}}};
    int[][] ways = {{-1, 0}, {1, 0}, {0, -1}, {0, 1}};
    for (int[][] shape : shapes) {
      for (int r = 0; r + shape.length <= 5; r++) {
        for (int c = 0; c + shape[0].length <= 4; c++) {
          for (int[] way : ways) {
            moveBlock(m, cell, shape, r, c, way);
          }
        }
      }
    }
    m.can("out", Expr.all(cell[4][1].is("big 10"), cell[4][2].is("big 11")));
    return m.build();
  }

  private static void moveBlock(
      ModelBuilder m, Var[][] cell, int[][] shape, int row, int column, int[] way) {
    int toRow = row + way[0];
    int toColumn = column + way[1];
    if (toRow < 0
        || toColumn < 0
        || toRow + shape.length > cell.length
        || toColumn + shape[0].length > cell[0].length) {
      return;
    }
    List<Expr> guard = new ArrayList<>();
    var change = m.change("block at " + row + column + " to " + toRow + toColumn);
    for (int r = 0; r < shape.length; r++) {
      for (int c = 0; c < shape[0].length; c++) {
        guard.add(cell[row + r][column + c].is(shape[r][c]));
        change.does(cell[row + r][column + c].to(0));
      }
    }
    for (int r = 0; r < shape.length; r++) {
      for (int c = 0; c < shape[0].length; c++) {
        int fromRow = toRow + r - row;
        int fromColumn = toColumn + c - column;
        boolean ownCell =
            fromRow >= 0
                && fromColumn >= 0
                && fromRow < shape.length
                && fromColumn < shape[0].length;
        if (!ownCell) {
          guard.add(cell[toRow + r][toColumn + c].is(0));
        }
        change.does(cell[toRow + r][toColumn + c].to(shape[r][c]));
      }
    }
    change.when(Expr.all(guard));
  }

  /** The other bank, side or state of a truth value. */
  static Expr other(Var side) {
    return choose(side.on(), value(0), value(1));
  }
}
