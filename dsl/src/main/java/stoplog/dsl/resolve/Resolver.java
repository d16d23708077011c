package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant.Claim;
import stoplog.dsl.resolve.ResolvedPlant.Derived;
import stoplog.dsl.resolve.ResolvedPlant.Drive;
import stoplog.dsl.resolve.ResolvedPlant.Following;
import stoplog.dsl.resolve.ResolvedPlant.Guard;
import stoplog.dsl.resolve.ResolvedPlant.LevelProcess;
import stoplog.dsl.resolve.ResolvedPlant.Measuring;
import stoplog.dsl.resolve.ResolvedPlant.Movement;
import stoplog.dsl.resolve.ResolvedPlant.Reaction;
import stoplog.dsl.resolve.ResolvedPlant.SetLatch;
import stoplog.dsl.resolve.ResolvedPlant.SetSignal;
import stoplog.dsl.resolve.ResolvedPlant.Statement;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.PlantTree;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.TimerForm;
import stoplog.source.Span;

/** Syntax tree to resolved plant. */
public final class Resolver {
  private final PlantTree tree;
  private final List<Diagnostic> diagnostics;
  private final Scope scope;
  private final Quantities quantities;
  private final TermResolver terms;

  private @Nullable Reaction reacts;
  private @Nullable Span power;
  private final List<Symbol.Equipment> equipment = new ArrayList<>();
  private final List<Symbol.Condition> free = new ArrayList<>();
  private final List<Derived> derived = new ArrayList<>();
  private final List<LevelProcess> levels = new ArrayList<>();
  private final List<Following> switches = new ArrayList<>();
  private final List<Measuring> analysers = new ArrayList<>();
  private final List<Symbol> panel = new ArrayList<>();
  private final List<Statement> program = new ArrayList<>();
  private final List<Claim> claims = new ArrayList<>();

  private Resolver(PlantTree tree, List<Diagnostic> diagnostics) {
    this.tree = tree;
    this.diagnostics = diagnostics;
    this.scope = new Scope(tree.unread(), diagnostics);
    this.quantities = new Quantities(diagnostics);
    this.terms = new TermResolver(scope, quantities, diagnostics);
  }

  /** A resolved plant and its names. */
  public record Resolved(ResolvedPlant plant, Scope scope) {}

  /** The plant as far as it could be resolved; the rest is told. Linear in the size of the tree. */
  public static Resolved resolve(PlantTree tree, List<Diagnostic> diagnostics) {
    return new Resolver(tree, diagnostics).run();
  }

  private Resolved run() {
    var declarer = new Declarer(scope, quantities, diagnostics);
    tree.declarations().forEach(declarer::declare);
    String name = header();
    for (Declaration d : tree.declarations()) {
      declaration(d);
    }
    return new Resolved(
        new ResolvedPlant(
            tree.file(),
            name,
            reacts,
            power,
            equipment,
            free,
            derived,
            levels,
            switches,
            analysers,
            panel,
            program,
            claims),
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
        if (symbol(e.tag().text(), e.tag().span()) instanceof Symbol.Equipment s) {
          equipment.add(s);
        }
      }
      case Declaration.Condition c -> condition(c);
      case Declaration.Level l -> level(l);
      case Declaration.Switch s -> {
        Term follows = terms.resolve(s.follows(), View.PROCESS);
        TimeWindow lag = s.lag() == null ? null : quantities.timeWindow(s.lag(), "lag");
        if (symbol(s.tag().text(), s.tag().span()) instanceof Symbol.Switch symbol) {
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
      case Declaration.Hazard h -> {
        options(h.options());
        claim(
            h.id().text(), h.id().span(), stoplog.model.Claim.Kind.HAZARD, h.condition(), h.span());
      }
      case Declaration.Requirement r -> {
        options(r.options());
        requirement(r);
      }
    }
  }

  /** The symbol declared at exactly this place; {@code null} if another has the name. */
  private @Nullable Symbol symbol(String name, Span at) {
    Symbol s = scope.peek(name);
    return s != null && s.name().span().equals(at) ? s : null;
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

  private void condition(Declaration.Condition c) {
    Expression when = c.holdsWhen();
    Term term = when == null ? null : terms.resolve(when, View.PROCESS);
    if (symbol(c.name().text(), c.name().span()) instanceof Symbol.Condition s) {
      if (term == null) {
        free.add(s);
      } else {
        derived.add(new Derived(s, term));
      }
    }
  }

  private void level(Declaration.Level l) {
    if (!(symbol(l.tag().text(), l.tag().span()) instanceof Symbol.Level s)) {
      return;
    }
    var movements = new ArrayList<Movement>();
    for (Declaration.Movement m : l.movements()) {
      TimeWindow time = quantities.timeWindow(m.time(), "time");
      Term during = terms.resolve(m.during(), View.PROCESS);
      Ratio from = s.unit().toBase(Ratio.of(m.from().value()));
      Ratio to = s.unit().toBase(Ratio.of(m.to().value()));
      if (from.equals(to)) {
        diagnostics.add(
            Diagnostic.of(Code.NO_MOVEMENT, m.to().span(), "this movement ends where it begins"));
      } else if (time.lowMicros() == 0) {
        diagnostics.add(
            Diagnostic.of(Code.NO_TIME, m.time().low().span(), "a movement takes some time")
                .withLabel("must be longer than nothing"));
      } else {
        movements.add(new Movement(from, to, time, during, m.span()));
      }
    }
    Ratio start = null;
    for (Quantity q : l.startsAt()) {
      if (start != null) {
        diagnostics.add(Diagnostic.of(Code.STATED_TWICE, q.span(), "the start is stated twice"));
        break;
      }
      start = quantities.value(q, q.unit(), s.unit(), s.name().text());
      if (start != null && !movements.isEmpty() && !inSpan(start, movements)) {
        diagnostics.add(
            Diagnostic.of(Code.OUTSIDE_SPAN, q.span(), "the level starts outside its span")
                .withWhy("no movement ever leads there"));
      }
    }
    levels.add(new LevelProcess(s, movements, start, l.span()));
  }

  private static boolean inSpan(Ratio value, List<Movement> movements) {
    boolean someBelow = false;
    boolean someAbove = false;
    for (Movement m : movements) {
      someBelow |= m.from().compareTo(value) <= 0 || m.to().compareTo(value) <= 0;
      someAbove |= m.from().compareTo(value) >= 0 || m.to().compareTo(value) >= 0;
    }
    return someBelow && someAbove;
  }

  private void analyser(Declaration.Analyser a) {
    if (!(symbol(a.tag().text(), a.tag().span()) instanceof Symbol.Analyser s)) {
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
        };
    Symbol symbol = symbol(name.text(), name.span());
    if (symbol != null) {
      panel.add(symbol);
    }
  }

  private void statement(Declaration.LogicItem item) {
    switch (item) {
      case Declaration.Latch l -> {
        Term set = terms.resolve(l.setBy(), View.LOGIC);
        if (l.guard() != null) {
          Term guard = terms.resolve(l.guard(), View.LOGIC);
          set = new Term.All(List.of(set, guard), l.setBy().span());
        }
        Term cleared = terms.resolve(l.clearedBy(), View.LOGIC);
        if (symbol(l.name().text(), l.name().span()) instanceof Symbol.Latch s) {
          program.add(new SetLatch(s, set, cleared, l.setWins(), l.span()));
        }
      }
      case Declaration.Signal g -> {
        Term value = terms.resolve(g.value(), View.LOGIC);
        if (symbol(g.name().text(), g.name().span()) instanceof Symbol.Signal s) {
          program.add(new SetSignal(s, value, g.span()));
        }
      }
      case Declaration.Command c -> command(c);
    }
  }

  private void command(Declaration.Command c) {
    Term demand = terms.resolve(c.demand(), View.LOGIC);
    var guards = new ArrayList<Guard>();
    for (Declaration.Inhibit i : c.inhibits()) {
      guards.add(
          new Guard(
              i.kind(),
              i.text(),
              terms.resolve(i.condition(), View.LOGIC),
              i.resetBy() == null ? null : terms.resolve(i.resetBy(), View.LOGIC),
              i.span()));
    }
    Symbol target = scope.find(c.tag());
    if (target instanceof Symbol.Equipment e) {
      program.add(new Drive(e, c.verb(), c.tag().span(), demand, guards, c.span()));
    } else if (target != null) {
      diagnostics.add(
          Diagnostic.of(
                  Code.WRONG_USE,
                  c.tag().span(),
                  "`" + c.tag() + "` is " + target.what() + " and takes no command")
              .withRelated(target.name().span(), "declared here"));
    }
  }

  private void options(List<Declaration.ClaimOption> options) {
    for (Declaration.ClaimOption o : options) {
      notYet(
          o.span(),
          switch (o) {
            case Declaration.Tolerates t -> "tolerates";
            case Declaration.Assuming a -> "assuming";
            case Declaration.WithoutPowerFailure w -> "without power failure";
          });
    }
  }

  private void notYet(Span span, String words) {
    diagnostics.add(
        Diagnostic.of(Code.NOT_SUPPORTED, span, "`" + words + "` is not supported yet")
            .withWhy("the plant language has it, this version of the checker does not"));
  }

  private void requirement(Declaration.Requirement r) {
    Span id = r.id().span();
    switch (r.promise()) {
      case Declaration.Can c ->
          claim(r.id().text(), id, stoplog.model.Claim.Kind.CAN, c.condition(), r.span());
      case Declaration.Response p -> {
        Term after = terms.resolve(p.after(), View.CLAIM);
        Term then = terms.resolve(p.then(), View.CLAIM);
        Long micros = quantities.time(p.within(), "time");
        if (symbol(r.id().text(), id) instanceof Symbol.Claim s) {
          claims.add(
              new Claim(
                  s,
                  stoplog.model.Claim.Kind.RESPONSE,
                  after,
                  then,
                  micros == null ? 1 : micros,
                  r.span()));
        }
      }
      case Declaration.AlwaysCan a -> notYet(a.span(), "always can");
      case Declaration.NeverTogether n -> notYet(n.span(), "never together");
      case Declaration.Stays s -> notYet(s.span(), "once ... stays until");
    }
  }

  private void claim(
      String id, Span at, stoplog.model.Claim.Kind kind, Expression condition, Span span) {
    Expression inner = condition;
    long micros = 0;
    if (condition instanceof Expression.Timed l && l.form() == TimerForm.ON_DELAY) {
      inner = l.operand();
      Quantity time = l.delay().time();
      if (time == null) {
        diagnostics.add(
            Diagnostic.of(
                    Code.ADJUSTABLE_DURATION,
                    l.delay().span(),
                    "the time of a claim is a fixed time")
                .withWhy("a claim that moves with a setpoint would forgive a wrong setpoint")
                .withFix("for 5 s"));
      } else {
        Long fixed = quantities.time(time, "time");
        micros = fixed == null ? 0 : fixed;
      }
    }
    Term term = terms.resolve(inner, View.CLAIM);
    if (symbol(id, at) instanceof Symbol.Claim s) {
      claims.add(new Claim(s, kind, term, null, micros, span));
    }
  }
}
