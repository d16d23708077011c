package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.resolve.ResolvedPlant.Claim;
import stoplog.dsl.resolve.ResolvedPlant.Derived;
import stoplog.dsl.resolve.ResolvedPlant.Following;
import stoplog.dsl.resolve.ResolvedPlant.Measuring;
import stoplog.dsl.resolve.ResolvedPlant.Reaction;
import stoplog.dsl.resolve.Statement.AtValue;
import stoplog.dsl.resolve.Statement.Drive;
import stoplog.dsl.resolve.Statement.Guard;
import stoplog.dsl.resolve.Statement.SetLatch;
import stoplog.dsl.resolve.Statement.SetSignal;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.LogicItem;
import stoplog.dsl.tree.PlantTree;
import stoplog.dsl.tree.Quantity;
import stoplog.source.Span;

/** Syntax tree to resolved plant. */
public final class Resolver {
  private final PlantTree tree;
  private final List<Diagnostic> diagnostics;
  private final Scope scope;
  private final Quantities quantities;
  private final TermResolver terms;
  private final ClaimResolver claimResolver;
  private final DriveResolver drives;
  private final Kinds kinds;
  private final ProcessResolver process;
  private final LogicResolver logic;
  private final ChartResolver charts;

  private @Nullable Reaction reacts;
  private @Nullable Span power;
  private final List<Symbol.Equipment> equipment = new ArrayList<>();
  private final List<ResolvedPlant.Driven> driven = new ArrayList<>();
  private final List<Symbol.Condition> free = new ArrayList<>();
  private final List<Derived> derived = new ArrayList<>();
  private final List<Following> switches = new ArrayList<>();
  private final List<Measuring> analysers = new ArrayList<>();
  private final List<Symbol> panel = new ArrayList<>();
  private final List<Statement> program = new ArrayList<>();
  private final List<Claim> claims = new ArrayList<>();
  private final List<Scenario> scenarios = new ArrayList<>();

  private Resolver(PlantTree tree, Map<String, Kind> shipped, List<Diagnostic> diagnostics) {
    this.tree = tree;
    this.diagnostics = diagnostics;
    this.scope = new Scope(tree.unread(), diagnostics);
    this.quantities = new Quantities(diagnostics);
    this.terms = new TermResolver(scope, quantities, diagnostics);
    this.drives = new DriveResolver(terms);
    this.kinds = Kinds.of(tree, shipped, diagnostics);
    this.process = new ProcessResolver(scope, quantities, terms, diagnostics);
    this.claimResolver = new ClaimResolver(scope, quantities, terms, diagnostics);
    this.logic = new LogicResolver(scope, terms, diagnostics);
    this.charts = new ChartResolver(scope, terms, logic, diagnostics);
  }

  /** A resolved plant and its names. */
  public record Resolved(ResolvedPlant plant, Scope scope) {}

  /**
   * The plant as far as it could be resolved; the rest is told. Linear in the size of the tree.
   *
   * @param shipped the kinds of equipment that every plant knows, by their word
   */
  public static Resolved resolve(
      PlantTree tree, Map<String, Kind> shipped, List<Diagnostic> diagnostics) {
    return new Resolver(tree, shipped, diagnostics).run();
  }

  private Resolved run() {
    var declarer = new Declarer(scope, quantities, kinds, diagnostics);
    tree.declarations().forEach(declarer::declare);
    terms.pipes().draw(tree.declarations());
    String name = header();
    for (Declaration d : tree.declarations()) {
      declaration(d);
    }
    terms.pipes().offer();
    return new Resolved(
        new ResolvedPlant(
            tree.file(),
            name,
            reacts,
            power,
            equipment,
            driven,
            free,
            derived,
            process.levels,
            switches,
            analysers,
            panel,
            ChartResolver.withCommands(program),
            claims,
            scenarios,
            process.caused,
            process.counts,
            process.transmitters),
        scope);
  }

  private String header() {
    Declaration.Header first = null;
    for (Declaration d : tree.declarations()) {
      if (d instanceof Declaration.Header h) {
        if (first != null) {
          diagnostics.add(
              Diagnostic.of(Code.STATED_TWICE, h.span(), "the plant has two names")
                  .withRelated(first.span(), "first time"));
          break;
        }
        first = h;
      }
    }
    if (first != null) {
      return first.name();
    }
    if (tree.isWhole()) {
      Span top = new Span(tree.file(), 0, 0);
      diagnostics.add(
          Diagnostic.of(Code.NO_HEADER, top, "the plant has no name")
              .withFix("begin with `plant \"name of the plant\"`"));
    }
    return "";
  }

  private void declaration(Declaration declaration) {
    switch (declaration) {
      case Declaration.Header h -> {}
      case Declaration.Reacts r -> reacts(r);
      case Declaration.PowerMayFail p -> {
        if (power != null) {
          diagnostics.add(
              Diagnostic.of(Code.STATED_TWICE, p.span(), "that power may fail is stated twice")
                  .withRelated(power, "first time"));
        }
        power = p.span();
      }
      case Declaration.Equipment e -> {
        if (scope.declaredAt(e.tag()) instanceof Symbol.Equipment s) {
          equipment.add(s);
          driven.addAll(drives.of(e, s));
        }
      }
      case Declaration.KindOf k -> {}
      case Declaration.Pipe p -> {}
      case Declaration.Count c -> process.count(c);
      case Declaration.Transmitter t -> process.transmitter(t);
      case Declaration.Scenario s -> {
        boolean powerMayFail =
            tree.declarations().stream().anyMatch(Declaration.PowerMayFail.class::isInstance);
        Scenario scenario =
            new ScenarioResolver(scope, quantities, terms, diagnostics).scenario(s, powerMayFail);
        if (scenario != null) {
          scenarios.add(scenario);
        }
      }
      case Declaration.Condition c -> {
        if (!c.causes().isEmpty() || !c.initially().isEmpty()) {
          process.condition(c);
        } else if (scope.declaredAt(c.name()) instanceof Symbol.Condition s) {
          free.add(s);
        }
      }
      case Declaration.Derived d -> {
        Term term = terms.resolve(d.holdsWhen(), View.PROCESS);
        if (scope.declaredAt(d.name()) instanceof Symbol.Condition s) {
          derived.add(new Derived(s, term));
        }
      }
      case Declaration.Level l -> process.level(l);
      case Declaration.Switch s -> {
        Term follows = terms.resolve(s.follows(), View.PROCESS);
        TimeWindow lag = s.lag() == null ? null : quantities.timeWindow(s.lag(), "lag");
        if (scope.declaredAt(s.tag()) instanceof Symbol.Switch symbol) {
          switches.add(new Following(symbol, follows, lag, s.span()));
        }
      }
      case Declaration.Analyser a -> analyser(a);
      case Declaration.Panel p -> {
        for (Declaration.PanelItem i : p.items()) {
          panelItem(i);
        }
      }
      case Declaration.Logic l -> l.items().forEach(this::statement);
      case Declaration.Hazard h -> claim(claimResolver.hazard(h));
      case Declaration.Requirement r -> claim(claimResolver.requirement(r));
    }
  }

  private void claim(@Nullable Claim claim) {
    if (claim != null) {
      claims.add(claim);
    }
  }

  private void reacts(Declaration.Reacts r) {
    if (reacts != null) {
      diagnostics.add(
          Diagnostic.of(Code.STATED_TWICE, r.span(), "the reaction time is stated twice")
              .withRelated(reacts.span(), "first time"));
      return;
    }
    Long micros = quantities.timeOrZero(r.within(), r.within().unit(), "reaction time");
    int coincident = 2;
    Quantity count = r.coincident();
    if (count != null) {
      coincident = quantities.count(count, 1, 63, "coincident changes");
    }
    reacts = new Reaction(micros == null ? 1_000_000 : micros, coincident, r.span());
  }

  private void analyser(Declaration.Analyser a) {
    if (!(scope.declaredAt(a.tag()) instanceof Symbol.Analyser s)) {
      return;
    }
    ResolvedPlant.Side side = null;
    Declaration.Side written = a.side();
    if (written != null) {
      Quantity q = written.limit();
      Ratio limit = quantities.value(q, q.unit(), s.unit(), s.name().text());
      TimeWindow lag = quantities.timeWindow(written.lag(), "lag");
      Term of = terms.resolve(written.of(), View.PROCESS);
      side = new ResolvedPlant.Side(written.above(), limit == null ? Ratio.ZERO : limit, lag, of);
    }
    analysers.add(new Measuring(s, side, a.span()));
  }

  private void panelItem(Declaration.PanelItem item) {
    var name =
        switch (item) {
          case Declaration.Selector s -> s.name();
          case Declaration.Button b -> b.name();
          case Declaration.Setpoint s -> s.name();
          case Declaration.Key k -> k.name();
        };
    Symbol symbol = scope.declaredAt(name);
    if (symbol != null) {
      panel.add(symbol);
    }
  }

  private void statement(LogicItem item) {
    switch (item) {
      case LogicItem.Latch l -> {
        Term set = terms.resolve(l.setBy(), View.LOGIC);
        if (l.guard() != null) {
          Term guard = terms.resolve(l.guard(), View.LOGIC);
          set = new Term.All(List.of(set, guard), l.setBy().span());
        }
        Term cleared = terms.resolve(l.clearedBy(), View.LOGIC);
        if (scope.declaredAt(l.name()) instanceof Symbol.Latch s) {
          program.add(new SetLatch(s, set, cleared, l.setWins(), l.span()));
        }
      }
      case LogicItem.Signal g -> {
        Term value = terms.resolve(g.value(), View.LOGIC);
        if (scope.declaredAt(g.name()) instanceof Symbol.Signal s) {
          program.add(new SetSignal(s, value, g.span()));
        }
      }
      case LogicItem.Command c -> command(c);
      case LogicItem.Memory m -> statement(logic.memory(m));
      case LogicItem.Assign a -> statement(logic.assign(a));
      case LogicItem.Counter c -> statement(logic.counter(c));
      case LogicItem.Duty d -> statement(logic.duty(d));
      case LogicItem.Alarm a -> statement(logic.alarm(a));
      case LogicItem.AlarmGroup g -> statement(logic.group(g));
      case LogicItem.Sequence s -> statement(charts.resolve(s));
    }
  }

  private void statement(@Nullable Statement statement) {
    if (statement != null) {
      program.add(statement);
    }
  }

  private void command(LogicItem.Command c) {
    Term demand = c.demand() == null ? null : terms.resolve(c.demand(), View.LOGIC);
    var guards = new ArrayList<Guard>();
    for (LogicItem.Inhibit i : c.inhibits()) {
      guards.add(
          new Guard(
              i.kind(),
              i.text(),
              terms.resolve(i.condition(), View.LOGIC),
              i.resetBy() == null ? null : terms.resolve(i.resetBy(), View.LOGIC),
              logic.bypass(i.bypass()),
              i.span()));
    }
    Symbol target = scope.find(c.tag());
    if (target instanceof Symbol.Equipment e) {
      List<AtValue> values = logic.values(c, e.kind().words(c.verb().text()));
      program.add(new Drive(e, c.verb(), c.tag().span(), demand, values, guards, c.span()));
    } else if (target != null) {
      diagnostics.add(
          Diagnostic.of(
                  Code.WRONG_USE,
                  c.tag().span(),
                  "`" + c.tag() + "` is " + target.what() + " and takes no command")
              .withRelated(target.name().span(), "declared here"));
    }
  }
}
