package stoplog.dsl.rules;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.ResolvedPlant.Drive;
import stoplog.dsl.resolve.ResolvedPlant.SetLatch;
import stoplog.dsl.resolve.ResolvedPlant.SetSignal;
import stoplog.dsl.resolve.ResolvedPlant.Statement;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.dsl.tree.PlantTree;

/**
 * A note where a latch or signal is read above the statement that writes it: what is read there is
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
      Symbol target = target(s);
      if (target != null) {
        writer.put(target.name().text(), s);
      }
    }
    Set<String> settled = new HashSet<>();
    for (Statement s : plant.program()) {
      for (Term term : ResolvedPlant.terms(s)) {
        term.each(t -> read(t, s, writer, settled, diagnostics));
      }
      Symbol target = target(s);
      if (target != null) {
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
    if (!(t instanceof Term.Holds h)) {
      return;
    }
    Symbol symbol = h.symbol();
    Statement later = writer.get(symbol.name().text());
    if (later != null && later != at && settled.add(symbol.name().text())) {
      diagnostics.add(
          Diagnostic.of(
                  Code.READ_EARLY,
                  h.span(),
                  "`" + symbol.name() + "` is read before the logic comes to it")
              .withLabel("has its value of the last scan here")
              .withRelated(symbol.name().span(), "written here")
              .withWhy("a scan goes through the logic in the order written"));
    }
  }

  private static @Nullable Symbol target(Statement statement) {
    return switch (statement) {
      case SetLatch l -> l.latch();
      case SetSignal g -> g.signal();
      case Drive d -> null;
    };
  }
}
