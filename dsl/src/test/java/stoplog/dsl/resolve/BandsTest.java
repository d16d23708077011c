package stoplog.dsl.resolve;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Objects;
import java.util.Random;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import stoplog.diag.Closest;
import stoplog.dsl.resolve.Bands.Cut;
import stoplog.dsl.tree.Expression.Relation;

class BandsTest {
  private static final Unit PERCENT = Objects.requireNonNull(Unit.named("%"));

  private static boolean holds(Relation r, Ratio x, Ratio v) {
    int order = x.compareTo(v);
    return switch (r) {
      case BELOW -> order < 0;
      case AT_MOST -> order <= 0;
      case ABOVE -> order > 0;
      case AT_LEAST -> order >= 0;
    };
  }

  @Test
  void aRelationHoldsInABandExactlyWhereItHoldsForItsValues() {
    var random = new Random(11);
    for (int round = 0; round < 500; round++) {
      var cuts = new TreeSet<Cut>();
      var asked = new java.util.ArrayList<Relation>();
      var values = new java.util.ArrayList<Ratio>();
      for (int i = random.nextInt(5); i >= 0; i--) {
        asked.add(Relation.values()[random.nextInt(4)]);
        values.add(Ratio.of(random.nextInt(14) - 2));
        cuts.add(Cut.of(asked.getLast(), values.getLast()));
      }
      boolean bounded = random.nextBoolean();
      var bands = bounded ? new Bands(cuts, Ratio.ZERO, Ratio.of(10)) : new Bands(cuts, null, null);
      // Halves hit the open stretches between whole values as well as the values themselves.
      for (int half = bounded ? 0 : -6; half <= (bounded ? 20 : 26); half++) {
        Ratio x = Ratio.of(half, 2);
        for (int i = 0; i < asked.size(); i++) {
          boolean says = (bands.where(asked.get(i), values.get(i)) >>> bands.of(x) & 1) != 0;
          assertEquals(
              holds(asked.get(i), x, values.get(i)),
              says,
              x + " " + asked.get(i).sign() + " " + values.get(i) + " with " + cuts);
        }
      }
    }
  }

  @Test
  void twoSidesOfOneValueLeaveTheValueItself() {
    var bands =
        new Bands(
            new TreeSet<>(List.of(new Cut(Ratio.of(20), false), new Cut(Ratio.of(20), true))),
            Ratio.ZERO,
            Ratio.of(100));
    assertEquals(
        List.of("below 20 %", "at 20 %", "above 20 %"),
        List.of(bands.name(0, PERCENT), bands.name(1, PERCENT), bands.name(2, PERCENT)));
    assertEquals(Ratio.ZERO, bands.width(1));
    assertEquals(Ratio.of(80), bands.width(2));
  }

  @Test
  void cutsOutsideTheSpanTellNothingApart() {
    var bands =
        new Bands(
            new TreeSet<>(List.of(new Cut(Ratio.ZERO, false), new Cut(Ratio.of(100), true))),
            Ratio.ZERO,
            Ratio.of(100));
    assertEquals(1, bands.count());
    assertEquals(0, bands.where(Relation.BELOW, Ratio.ZERO));
    assertEquals(1, bands.where(Relation.AT_MOST, Ratio.of(100)));
  }

  @Test
  void unitsConvertExactly() {
    assertEquals(Ratio.of(200_000), unit("kPa").toBase(Ratio.of(200)));
    assertEquals(unit("bar").toBase(Ratio.of(2)), unit("kPa").toBase(Ratio.of(200)));
    assertEquals(Ratio.of(100), unit("degF").toBase(Ratio.of(212)));
    assertEquals(Ratio.of(0), unit("degF").toBase(Ratio.of(32)));
    assertEquals(unit("degC").toBase(Ratio.of(25)), unit("K").toBase(Ratio.of(29_815, 100)));
    assertEquals(Ratio.of(90_000_000), unit("s").toBase(Ratio.of(90)));
    for (String symbol : Unit.symbols()) {
      Ratio value = Ratio.of(7, 3);
      assertEquals(value, unit(symbol).fromBase(unit(symbol).toBase(value)), symbol);
      assertTrue(Unit.symbolsOf(unit(symbol).dimension()).contains(symbol));
    }
  }

  private static Unit unit(String symbol) {
    return Objects.requireNonNull(Unit.named(symbol));
  }

  @Test
  void ratiosRoundDownAndUp() {
    assertEquals(-3, Ratio.of(-5, 2).floor().intValue());
    assertEquals(-2, Ratio.of(-5, 2).ceiling().intValue());
    assertEquals(2, Ratio.of(5, 2).floor().intValue());
    assertEquals(3, Ratio.of(5, 2).ceiling().intValue());
    assertEquals(Ratio.of(1, 2), Ratio.of(-2, -4));
    assertEquals("0.3333333", Ratio.of(1, 3).toString());
  }

  @Test
  void onlyAClearlyClosestWordIsOffered() {
    assertEquals("oxidant", Closest.to("oxidnat", List.of("oxidant", "feed_flow")));
    assertEquals(null, Closest.to("FV-103", List.of("FV-101", "FV-102")));
    assertEquals(null, Closest.to("abc", List.of("abd")));
    assertEquals(null, Closest.to("something", List.of("else")));
  }
}
