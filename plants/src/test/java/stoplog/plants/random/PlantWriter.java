package stoplog.plants.random;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.plants.random.SmallPlant.Asked;
import stoplog.plants.random.SmallPlant.Control;
import stoplog.plants.random.SmallPlant.Drive;
import stoplog.plants.random.SmallPlant.Flow;
import stoplog.plants.random.SmallPlant.Guard;
import stoplog.plants.random.SmallPlant.Instrument;
import stoplog.plants.random.SmallPlant.Machine;
import stoplog.plants.random.SmallPlant.Memory;
import stoplog.plants.random.SmallPlant.Said;
import stoplog.plants.random.SmallPlant.Window;

/** Writes a small plant down in the plant language. */
final class PlantWriter {
  private static final List<String> FAILS = List.of("closed", "open", "in place");
  private static final List<String> KINDS = List.of("permissive", "interlock", "trip");

  private final SmallPlant plant;
  private final StringBuilder out = new StringBuilder();

  private final Vocabulary names;
  private final List<String> panelLines = new ArrayList<>();
  private final List<String> logicLines = new ArrayList<>();

  private PlantWriter(SmallPlant plant) {
    this.plant = plant;
    this.names = new Vocabulary(plant);
  }

  static String text(SmallPlant plant) {
    var writer = new PlantWriter(plant);
    writer.write();
    return writer.out.toString();
  }

  // What is said

  /**
   * @param delays whether a delay may be said here
   */
  private String said(Said said, List<List<String>> of, boolean delays) {
    return switch (said) {
      case Said.Thing t -> {
        List<String> forms = of.get(t.which() % of.size());
        yield forms.get(t.form() % forms.size());
      }
      case Said.Not n -> "not " + inner(n.operand(), of, delays);
      case Said.Both b -> inner(b.left(), of, delays) + " and " + inner(b.right(), of, delays);
      case Said.Either e -> inner(e.left(), of, delays) + " or " + inner(e.right(), of, delays);
      case Said.Lasting l ->
          delays
              ? said(l.operand(), of, true, true) + " for " + delay(l)
              : said(l.operand(), of, false);
    };
  }

  /** What a delay stands behind: another delay there needs parentheses. */
  private String said(Said said, List<List<String>> of, boolean delays, boolean operand) {
    return operand && said instanceof Said.Lasting
        ? inner(said, of, delays)
        : said(said, of, delays);
  }

  private String inner(Said said, List<List<String>> of, boolean delays) {
    if (!delays && said instanceof Said.Lasting l) {
      return inner(l.operand(), of, false);
    }
    String text = said(said, of, delays);
    return said instanceof Said.Thing ? text : "(" + text + ")";
  }

  private static String delay(Said.Lasting l) {
    return l.adjustable() ? "delay" : l.seconds() + " s";
  }

  private static String window(Window w, String unit) {
    return w.low() + ".." + (w.low() + w.more()) + " " + unit;
  }

  // The text

  private void line(String text) {
    out.append(text).append('\n');
  }

  private void write() {
    line("plant \"random\"");
    line(
        "controller reacts within "
            + plant.reaction()
            + " s"
            + (plant.reaction() == 0 ? ", coincident " + plant.coincident() : ""));
    if (plant.powerMayFail()) {
      line("power may fail");
    }
    for (int i = 0; i < plant.equipment().size(); i++) {
      machine(i);
    }
    for (int i = 0; i < plant.comingAndGoing(); i++) {
      line("condition " + Vocabulary.condition(i) + " comes and goes");
    }
    if (plant.derived() != null) {
      line("condition derived holds when " + said(plant.derived(), names.nature, false));
    }
    level(plant.level());
    for (int i = 0; i < plant.instruments().size(); i++) {
      instrument(names.instrument(i), plant.instruments().get(i));
    }
    extras();
    panel();
    logic();
    for (int i = 0; i < plant.claims().size(); i++) {
      claim(i, plant.claims().get(i));
    }
    scenario(plant.played());
  }

  private void machine(int i) {
    var members = new ArrayList<String>();
    var proofs = new ArrayList<String>();
    Machine machine = plant.equipment().get(i);
    String number = "-" + (i + 1);
    switch (machine) {
      case Machine.Valve v -> {
        timing(members, "travel", v.travel());
        if (v.drive() != null) {
          members.add("fails " + FAILS.get(v.fails()));
        }
        proof(proofs, v.proves(), 0, "open ZSO" + number);
        proof(proofs, v.proves(), 1, "closed ZSC" + number);
      }
      case Machine.Pump p -> {
        timing(members, "ramp", p.ramp());
        timing(members, "coast", p.coast());
        proof(proofs, p.proves(), 0, "running YS" + number);
        proof(proofs, p.proves(), 1, "turning ZS" + number);
        proof(proofs, p.proves(), 2, "at rest SS" + number);
      }
    }
    if (!proofs.isEmpty()) {
      members.add("proves " + String.join(", ", proofs));
    }
    line(
        (machine instanceof Machine.Valve ? "valve " : "pump ")
            + names.tag(i)
            + (machine.drive() == null ? " by hand" : "")
            + (members.isEmpty() ? "" : " { " + String.join("; ", members) + " }"));
  }

  private static void timing(List<String> members, String word, @Nullable Window window) {
    if (window != null) {
      members.add(word + " " + window(window, "s"));
    }
  }

  private static void proof(List<String> proofs, int proves, int bit, String text) {
    if ((proves >>> bit & 1) != 0) {
      proofs.add(text);
    }
  }

  private void level(SmallPlant.@Nullable Tank tank) {
    if (tank == null) {
      return;
    }
    line("level T-1 in % {");
    for (Flow f : tank.flows()) {
      line(
          (f.fills() ? "  0 to 100 in " : "  100 to 0 in ")
              + window(f.time(), "s")
              + " while "
              + said(f.during(), names.truth, false));
    }
    if (tank.start() != null) {
      line("  starts at " + tank.start() + " %");
    }
    line("}");
  }

  private void instrument(String tag, Instrument instrument) {
    switch (instrument) {
      case Instrument.Switch s ->
          line(
              "switch "
                  + tag
                  + " follows "
                  + said(s.follows(), names.truth, false)
                  + (s.lag() == null ? "" : " within " + window(s.lag(), "s")));
      case Instrument.Analyser a ->
          line(
              "analyser "
                  + tag
                  + " in mV"
                  + (a.of() == null
                      ? ""
                      : (a.above() ? " above" : " below")
                          + " 300 mV within "
                          + window(a.lag(), "s")
                          + " of "
                          + said(a.of(), names.truth, false)));
    }
  }

  /** Notes what the extras say in the panel and the logic; what they say elsewhere is written. */
  private void extras() {
    for (int i = 0; i < plant.extras().size(); i++) {
      plant
          .extras()
          .get(i)
          .write(
              Vocabulary.extra(i),
              new Extra.Lines() {
                @Override
                public void process(String line) {
                  line(line);
                }

                @Override
                public void panel(String line) {
                  panelLines.add(line);
                }

                @Override
                public void logic(String line) {
                  logicLines.add(line);
                }

                @Override
                public String truth(Said said) {
                  return said(said, names.truth, false);
                }

                @Override
                public String field(Said said) {
                  return said(said, names.field, true);
                }
              });
    }
  }

  private void panel() {
    line("panel {");
    panelLines.forEach(this::line);
    for (int i = 0; i < plant.panel().size(); i++) {
      String name = names.control(i);
      line(
          switch (plant.panel().get(i)) {
            case HOLD_BUTTON -> "  hold-button " + name;
            case BUTTON -> "  button " + name;
            case SELECTOR -> "  selector " + name + ": off, auto";
          });
    }
    if (plant.panel().isEmpty() && names.field.contains(List.of("jog1"))) {
      line("  hold-button jog1");
    }
    line("  setpoint delay = " + plant.delay().low() + " s within " + window(plant.delay(), "s"));
    for (int i = 0; i < plant.limits().size(); i++) {
      Window w = plant.limits().get(i);
      line("  setpoint " + Vocabulary.limit(i) + " = " + w.low() + " mV within " + window(w, "mV"));
    }
    line("}");
  }

  private void logic() {
    line("logic {");
    for (int i = 0; i < plant.memories().size(); i++) {
      String name = names.memory(i);
      switch (plant.memories().get(i)) {
        case Memory.Latch l -> {
          line(
              (l.retained() ? "  retained latch " : "  latch ")
                  + name
                  + ": set by "
                  + said(l.set(), names.field, true)
                  + "; cleared by "
                  + said(l.cleared(), names.field, true)
                  + List.of("", "; cleared wins", "; set wins").get(l.wins()));
        }
        case Memory.Signal s ->
            line("  signal " + name + " = " + said(s.value(), names.field, true));
      }
    }
    logicLines.forEach(this::line);
    for (int i = 0; i < plant.equipment().size(); i++) {
      Machine machine = plant.equipment().get(i);
      if (machine.drive() != null) {
        drive(machine instanceof Machine.Valve ? "open" : "run", names.tag(i), machine.drive());
      }
    }
    line("}");
  }

  private void drive(String verb, String tag, Drive d) {
    String head = "  " + verb + " " + tag + " when " + said(d.when(), names.field, true);
    if (d.guards().isEmpty()) {
      line(head);
      return;
    }
    line(head + " {");
    boolean button = plant.panel().contains(Control.BUTTON);
    for (int i = 0; i < d.guards().size(); i++) {
      Guard g = d.guards().get(i);
      String text = "    " + KINDS.get(g.kind()) + " \"" + (i + 1) + "\" : ";
      boolean own = g.kind() == 2 && !(button && g.resetButton());
      line(
          text
              + said(g.condition(), names.field, true)
              + (own ? " reset by " + said(g.resetBy(), names.field, true) : ""));
    }
    line("  }");
  }

  private void scenario(SmallPlant.@Nullable Played played) {
    if (played == null) {
      return;
    }
    var any = new ArrayList<>(names.truth);
    any.addAll(names.field);
    line("scenario S-1 " + (played.certain() ? "certain {" : "possible {"));
    if (played.given() != null) {
      line("  given " + said(played.given(), names.truth, false));
    }
    List<String> deeds = names.deeds();
    int time = 0;
    for (int i = 0; i < Math.max(played.deeds().size(), played.looks().size()); i++) {
      if (i < played.deeds().size() && !deeds.isEmpty()) {
        line("  at " + time + " s: " + deeds.get(played.deeds().get(i) % deeds.size()));
      }
      if (i < played.looks().size()) {
        SmallPlant.Look look = played.looks().get(i);
        String what = " see " + said(look.condition(), any, false);
        int next = time + 1;
        line(
            switch (look.form()) {
              case 0 -> "  at " + next + " s" + what;
              case 1 -> "  from " + time + " s to " + next + " s" + what;
              default -> "  by " + next + " s" + what;
            });
      }
      time += 2;
    }
    line("}");
  }

  private void claim(int i, Asked claim) {
    var any = new ArrayList<>(names.truth);
    any.addAll(names.field);
    line(claim(claim, i + 1 + " : ", any));
  }

  private String claim(Asked claim, String number, List<List<String>> any) {
    return switch (claim) {
      case Asked.Holds h -> {
        String lasting = h.seconds() == 0 ? "" : " for " + h.seconds() + " s";
        // A claim about nothing but an instrument or a command says little.
        var of = h.condition() instanceof Said.Thing ? names.truth : any;
        String what = said(h.condition(), of, false);
        yield (h.wanted() ? "require R-" + number + "can " : "hazard H-" + number) + what + lasting;
      }
      case Asked.Response r ->
          "require R-"
              + number
              + "after "
              + said(r.after(), any, false)
              + ", "
              + said(r.then(), any, false)
              + " within "
              + r.seconds()
              + " s";
      case Asked.Other o -> {
        String one = said(o.one(), any, false);
        String two = said(o.two(), any, false);
        yield "require R-"
            + number
            + switch (o.form()) {
              case 0 -> "never together " + one + ", " + two;
              case 1 -> "once " + one + ", " + two + " stays until " + said(o.three(), any, false);
              default -> "always can " + one;
            };
      }
      case Asked.Limited l ->
          claim(l.claim(), number, any)
              + switch (l.limit()) {
                case 0 -> " tolerates 1 fault";
                case 1 -> " assuming " + said(l.assumed(), any, false);
                default -> " without power failure";
              };
    };
  }
}
