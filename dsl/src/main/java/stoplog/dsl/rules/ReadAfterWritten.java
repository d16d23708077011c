package stoplog.dsl.rules;

import static java.util.stream.Collectors.joining;

import java.util.ArrayList;
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
import stoplog.dsl.resolve.Statement;
import stoplog.dsl.resolve.Statement.Drive;
import stoplog.dsl.resolve.Statement.SetLatch;
import stoplog.dsl.resolve.Statement.SetSignal;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.dsl.tree.PlantTree;

/**
 * A note where a latch, signal, counter or alarm is read above the statement that writes it: what is read there is
 * its value of the last scan. Told once for a plant, at the first such place, with the first place of
 * each further name beside it: in most plants it is as meant.
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
    List<Early> early = new ArrayList<>();
    for (Statement s : plant.program()) {
      for (Term term : s.terms()) {
        term.each(t -> read(t, s, writer, settled, early));
      }
      for (Symbol target : targets(s)) {
        settled.add(target.name().text());
      }
    }
    if (!early.isEmpty()) {
      diagnostics.add(note(early));
    }
  }

  /** A name and where it is read too early. */
  private record Early(Symbol symbol, Term at) {}

  private static Diagnostic note(List<Early> early) {
    Symbol first = early.getFirst().symbol();
    String others =
        early.stream().skip(1).map(e -> "`" + e.symbol().name() + "`").collect(joining(", "));
    Diagnostic note =
        Diagnostic.of(
                Code.READ_EARLY,
                early.getFirst().at().span(),
                early.size() == 1
                    ? "`" + first.name() + "` is read before the logic comes to it"
                    : "`" + first.name() + "`, " + others
                        + " are read before the logic comes to them")
            .withLabel("has its value of the last scan here")
            .withRelated(first.name().span(), "written here");
    for (Early e : early.subList(1, early.size())) {
      note = note.withRelated(e.at().span(), "so has `" + e.symbol().name() + "` here");
    }
    return note.withWhy("a scan goes through the logic in the order written");
  }

  /**
   * @param settled names that are written by now, or were told of
   */
  private static void read(
      Term t,
      Statement at,
      Map<String, Statement> writer,
      Set<String> settled,
      List<Early> early) {
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
      early.add(new Early(symbol, t));
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
