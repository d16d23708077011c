package stoplog.dsl.rules;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.Chart;
import stoplog.dsl.resolve.Keeping;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.ResolvedPlant.Drive;
import stoplog.dsl.resolve.ResolvedPlant.SetLatch;
import stoplog.dsl.resolve.ResolvedPlant.SetSignal;
import stoplog.dsl.resolve.ResolvedPlant.Statement;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.dsl.tree.PlantTree;

/**
 * A note where a latch, signal, counter or alarm is read above the statement that writes it: what is read there is
 * its value of the last scan. Told once for each name, at the first such place.
 *
 * <p>A statement that reads what it writes itself can mean nothing else than the last value and gets
 * no note; neither do commands and trips, where the last value is what is nearly always meant.
 * Linear in the size of the logic.
 */
final class ReadAfterWritten implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    Map<String, Statement> writer = new HashMap<>();
    for (Statement s : plant.program()) {
      for (Symbol target : targets(s)) {
        writer.put(target.name().text(), s);
      }
    }
    Set<String> settled = new HashSet<>();
    for (Statement s : plant.program()) {
      for (Term term : ResolvedPlant.terms(s)) {
        term.each(t -> read(t, s, writer, settled, diagnostics));
      }
      for (Symbol target : targets(s)) {
        settled.add(target.name().text());
      }
    }
  }

  /**
   * @param settled names that are written by now, or were told of
   */
  private static void read(
      Term t,
      Statement at,
      Map<String, Statement> writer,
      Set<String> settled,
      List<Diagnostic> diagnostics) {
    Symbol symbol =
        switch (t) {
          case Term.Holds h -> h.symbol();
          case Term.Valued v -> v.of();
          case Term.InStep s -> s.sequence();
          default -> null;
        };
    if (symbol == null) {
      return;
    }
    Statement later = writer.get(symbol.name().text());
    if (later != null && later != at && settled.add(symbol.name().text())) {
      diagnostics.add(
          Diagnostic.of(
                  Code.READ_EARLY,
                  t.span(),
                  "`" + symbol.name() + "` is read before the logic comes to it")
              .withLabel("has its value of the last scan here")
              .withRelated(symbol.name().span(), "written here")
              .withWhy("a scan goes through the logic in the order written"));
    }
  }

  /**
   * What only this statement writes. A memory may be written in many places, and a duty follows
   * trips that commonly stand below it.
   */
  private static List<? extends Symbol> targets(Statement statement) {
    return switch (statement) {
      case SetLatch l -> List.of(l.latch());
      case SetSignal g -> List.of(g.signal());
      case Drive d -> List.of();
      case Chart c -> List.of(c.sequence());
      case Keeping.Count c -> List.of(c.counter());
      case Keeping.Alarms a -> a.alarms().stream().map(Keeping.Watched::alarm).toList();
      case Keeping.Hold h -> List.of();
      case Keeping.Assign a -> List.of();
      case Keeping.Alternate a -> List.of();
    };
  }
}
