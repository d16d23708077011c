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
  private static final List<String> BUTTONS = List.of("reset", "start", "stop");

  private final SmallPlant plant;
  private final StringBuilder out = new StringBuilder();

  /** What may be said about each thing: of the truth, without the derived condition and with it. */
  private final List<List<String>> nature = new ArrayList<>();

  private final List<List<String>> truth = new ArrayList<>();

  /** What the logic may read. */
  private final List<List<String>> field = new ArrayList<>();

  private PlantWriter(SmallPlant plant) {
    this.plant = plant;
  }

  static String text(SmallPlant plant) {
    var writer = new PlantWriter(plant);
    writer.vocabulary();
    writer.write();
    return writer.out.toString();
  }

  // What there is to name

  private void vocabulary() {
    for (int i = 0; i < plant.equipment().size(); i++) {
      String tag = tag(i);
      switch (plant.equipment().get(i)) {
        case Machine.Valve v -> {
          var forms = new ArrayList<>(states(tag, "open", "closed", "not closed", "not open"));
          forms.addAll(v.travel() == null ? List.of() : states(tag, "opening", "closing"));
          nature.add(forms);
          proofs(tag, v.proves(), List.of("open", "closed"), List.of("ZSO", "ZSC"), i);
          commands(v, tag, "open", "closed");
        }
        case Machine.Pump p -> {
          var forms = new ArrayList<>(states(tag, "turning", "running", "at rest", "not running"));
          forms.addAll(p.ramp() == null ? List.of() : states(tag, "starting"));
          forms.addAll(p.coast() == null ? List.of() : states(tag, "coasting"));
          nature.add(forms);
          List<String> words = List.of("running", "turning", "at rest");
          proofs(tag, p.proves(), words, List.of("YS", "ZS", "SS"), i);
          commands(p, tag, "on", "off");
        }
      }
    }
    for (int i = 0; i < plant.comingAndGoing(); i++) {
      nature.add(List.of(condition(i)));
    }
    if (plant.level() != null) {
      nature.add(List.of("T-1 < 50 %", "T-1 > 50 %", "T-1 >= 80 %", "T-1 <= 50 %", "T-1 > 100 %"));
    }
    truth.addAll(nature);
    if (plant.derived() != null) {
      truth.add(List.of("derived"));
    }
    fieldVocabulary();
  }

  private static List<String> states(String tag, String... states) {
    var list = new ArrayList<String>();
    for (String s : states) {
      list.add(tag + " is " + s);
    }
    return list;
  }

  private void proofs(String tag, int proves, List<String> words, List<String> tags, int number) {
    for (int w = 0; w < words.size(); w++) {
      if ((proves >>> w & 1) != 0) {
        field.add(List.of(tags.get(w) + "-" + (number + 1), tag + " is proven " + words.get(w)));
      }
    }
  }

  private void commands(Machine m, String tag, String on, String off) {
    Drive drive = m.drive();
    if (drive != null) {
      field.add(List.of(tag + " is commanded " + on, tag + " is commanded " + off));
      if (drive.guards().stream().anyMatch(g -> g.kind() == 2)) {
        field.add(List.of("tripped " + tag));
      }
    }
  }

  private void fieldVocabulary() {
    for (int i = 0; i < plant.instruments().size(); i++) {
      String tag = instrument(i);
      switch (plant.instruments().get(i)) {
        case Instrument.Switch s -> field.add(List.of(tag));
        case Instrument.Analyser a -> {
          var forms = new ArrayList<>(List.of(tag + " > 300 mV", tag + " < 200 mV"));
          for (int l = 0; l < plant.limits().size(); l++) {
            forms.add(l, tag + (l == 0 ? " > " : " <= ") + limit(l));
          }
          field.add(forms);
        }
      }
    }
    for (int i = 0; i < plant.panel().size(); i++) {
      String name = control(i);
      field.add(
          plant.panel().get(i) == Control.SELECTOR
              ? List.of(name + " is auto", name + " is not auto")
              : List.of(name));
    }
    for (int i = 0; i < plant.memories().size(); i++) {
      field.add(List.of(memory(i)));
    }
    if (field.isEmpty()) {
      field.add(List.of("jog1"));
    }
  }

  // Names

  private String tag(int i) {
    return (plant.equipment().get(i) instanceof Machine.Valve ? "FV-" : "P-") + (i + 1);
  }

  private static String condition(int i) {
    return "condition" + (i + 1);
  }

  private String instrument(int i) {
    return (plant.instruments().get(i) instanceof Instrument.Switch ? "FS-" : "AE-") + (i + 1);
  }

  private String control(int i) {
    Control control = plant.panel().get(i);
    return switch (control) {
      case HOLD_BUTTON -> "jog" + (i + 1);
      case BUTTON -> BUTTONS.get((int) plant.panel().subList(0, i).stream().filter(c -> c == control).count());
      case SELECTOR -> "mode" + (i + 1);
    };
  }

  private String memory(int i) {
    return (plant.memories().get(i) instanceof Memory.Latch ? "latch" : "signal") + (i + 1);
  }

  private static String limit(int i) {
    return "limit" + (i + 1);
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
    return operand && said instanceof Said.Lasting ? inner(said, of, delays) : said(said, of, delays);
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
      line("condition " + condition(i) + " comes and goes");
    }
    if (plant.derived() != null) {
      line("condition derived holds when " + said(plant.derived(), nature, false));
    }
    level(plant.level());
    for (int i = 0; i < plant.instruments().size(); i++) {
      instrument(instrument(i), plant.instruments().get(i));
    }
    panel();
    logic();
    for (int i = 0; i < plant.claims().size(); i++) {
      claim(i, plant.claims().get(i));
    }
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
            + tag(i)
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
              + said(f.during(), truth, false));
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
                  + said(s.follows(), truth, false)
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
                          + said(a.of(), truth, false)));
    }
  }

  private void panel() {
    line("panel {");
    for (int i = 0; i < plant.panel().size(); i++) {
      String name = control(i);
      line(
          switch (plant.panel().get(i)) {
            case HOLD_BUTTON -> "  hold-button " + name;
            case BUTTON -> "  button " + name;
            case SELECTOR -> "  selector " + name + ": off, auto";
          });
    }
    if (field.size() == 1 && field.getFirst().equals(List.of("jog1")) && plant.panel().isEmpty()) {
      line("  hold-button jog1");
    }
    line("  setpoint delay = " + plant.delay().low() + " s within " + window(plant.delay(), "s"));
    for (int i = 0; i < plant.limits().size(); i++) {
      Window w = plant.limits().get(i);
      line("  setpoint " + limit(i) + " = " + w.low() + " mV within " + window(w, "mV"));
    }
    line("}");
  }

  private void logic() {
    line("logic {");
    for (int i = 0; i < plant.memories().size(); i++) {
      String name = memory(i);
      switch (plant.memories().get(i)) {
        case Memory.Latch l -> {
          line(
              (l.retained() ? "  retained latch " : "  latch ")
                  + name
                  + ": set by "
                  + said(l.set(), field, true)
                  + "; cleared by "
                  + said(l.cleared(), field, true)
                  + List.of("", "; cleared wins", "; set wins").get(l.wins()));
        }
        case Memory.Signal s -> line("  signal " + name + " = " + said(s.value(), field, true));
      }
    }
    for (int i = 0; i < plant.equipment().size(); i++) {
      Machine machine = plant.equipment().get(i);
      if (machine.drive() != null) {
        drive(machine instanceof Machine.Valve ? "open" : "run", tag(i), machine.drive());
      }
    }
    line("}");
  }

  private void drive(String verb, String tag, Drive d) {
    String head = "  " + verb + " " + tag + " when " + said(d.when(), field, true);
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
              + said(g.condition(), field, true)
              + (own ? " reset by " + said(g.resetBy(), field, true) : ""));
    }
    line("  }");
  }

  private void claim(int i, Asked claim) {
    var any = new ArrayList<>(truth);
    any.addAll(field);
    switch (claim) {
      case Asked.Holds h -> {
        String lasting = h.seconds() == 0 ? "" : " for " + h.seconds() + " s";
        String what = said(h.condition(), h.condition() instanceof Said.Thing ? truth : any, false);
        line((h.wanted() ? "require R-" + (i + 1) + " : can " : "hazard H-" + (i + 1) + " : ") + what + lasting);
      }
      case Asked.Response r ->
          line(
              "require R-"
                  + (i + 1)
                  + " : after "
                  + said(r.after(), any, false)
                  + ", "
                  + said(r.then(), any, false)
                  + " within "
                  + r.seconds()
                  + " s");
    }
  }
}
