package stoplog.plants.random;

import java.util.ArrayList;
import java.util.List;
import stoplog.plants.random.SmallPlant.Control;
import stoplog.plants.random.SmallPlant.Drive;
import stoplog.plants.random.SmallPlant.Instrument;
import stoplog.plants.random.SmallPlant.Machine;
import stoplog.plants.random.SmallPlant.Memory;

/** The names of what a small plant has, and what may be said about each. */
final class Vocabulary {
  private static final List<String> BUTTONS = List.of("reset", "start", "stop");

  private final SmallPlant plant;

  /** Of the truth, without the derived condition. */
  final List<List<String>> nature = new ArrayList<>();

  /** Of the truth. */
  final List<List<String>> truth = new ArrayList<>();

  /** What the logic may read. */
  final List<List<String>> field = new ArrayList<>();

  Vocabulary(SmallPlant plant) {
    this.plant = plant;
    collect();
  }

  private void collect() {
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
    for (int i = 0; i < plant.extras().size(); i++) {
      nature.addAll(plant.extras().get(i).truth(extra(i)));
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
    for (int i = 0; i < plant.extras().size(); i++) {
      field.addAll(plant.extras().get(i).field(extra(i)));
    }
    if (field.isEmpty()) {
      field.add(List.of("jog1"));
    }
  }

  String tag(int i) {
    return (plant.equipment().get(i) instanceof Machine.Valve ? "FV-" : "P-") + (i + 1);
  }

  static String condition(int i) {
    return "condition" + (i + 1);
  }

  String instrument(int i) {
    return (plant.instruments().get(i) instanceof Instrument.Switch ? "FS-" : "AE-") + (i + 1);
  }

  String control(int i) {
    Control control = plant.panel().get(i);
    return switch (control) {
      case HOLD_BUTTON -> "jog" + (i + 1);
      case BUTTON -> {
        var before = plant.panel().subList(0, i);
        yield BUTTONS.get((int) before.stream().filter(c -> c == control).count());
      }
      case SELECTOR -> "mode" + (i + 1);
    };
  }

  String memory(int i) {
    return (plant.memories().get(i) instanceof Memory.Latch ? "latch" : "signal") + (i + 1);
  }

  /** What can be done in a scenario. */
  List<String> deeds() {
    var deeds = new ArrayList<String>();
    for (int i = 0; i < plant.comingAndGoing(); i++) {
      deeds.add(condition(i) + " starts");
      deeds.add(condition(i) + " ends");
    }
    for (int i = 0; i < plant.panel().size(); i++) {
      String name = control(i);
      switch (plant.panel().get(i)) {
        case HOLD_BUTTON -> {
          deeds.add("hold " + name);
          deeds.add("release " + name);
        }
        case BUTTON -> deeds.add("press " + name);
        case SELECTOR -> {
          deeds.add("turn " + name + " to auto");
          deeds.add("turn " + name + " to off");
        }
      }
    }
    for (int i = 0; i < plant.equipment().size(); i++) {
      if (plant.equipment().get(i).drive() == null) {
        boolean valve = plant.equipment().get(i) instanceof Machine.Valve;
        deeds.add("turn " + tag(i) + " to " + (valve ? "open" : "on"));
      }
    }
    for (int i = 0; i < plant.instruments().size(); i++) {
      if (plant.instruments().get(i) instanceof Instrument.Switch) {
        deeds.add(instrument(i) + " has fault stuck_on");
      }
    }
    if (plant.powerMayFail()) {
      deeds.add("power fails");
      deeds.add("power returns");
    }
    return deeds;
  }

  static String extra(int i) {
    return "" + (i + 1);
  }

  static String limit(int i) {
    return "limit" + (i + 1);
  }
}
