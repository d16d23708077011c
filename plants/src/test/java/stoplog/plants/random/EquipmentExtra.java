package stoplog.plants.random;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.plants.random.SmallPlant.Said;
import stoplog.plants.random.SmallPlant.Window;

/** Equipment beside the machines, with what commands it. */
sealed interface EquipmentExtra extends Extra {
  /** A kind of equipment that the plant describes itself, with two commands and a fault. */
  record OwnKind(@Nullable Window swing, Said left, Said right, Said pushed) implements EquipmentExtra {
    @Override
    public List<List<String>> truth(String n) {
      String tag = "FL-9" + n;
      return List.of(
          List.of(tag + " is shut", tag + " is wide", tag + " is moving", tag + " is not wide"));
    }

    @Override
    public List<List<String>> field(String n) {
      String tag = "FL-9" + n;
      return List.of(
          List.of("ZW-9" + n, tag + " is proven wide"),
          List.of(tag + " is commanded wide", tag + " is commanded shut"));
    }

    @Override
    public void write(String n, Lines lines) {
      for (String line : KIND.formatted(n).lines().toList()) {
        lines.process(line);
      }
      lines.process(
          "flap"
              + n
              + " FL-9"
              + n
              + " { proves wide ZW-9"
              + n
              + (swing == null ? "" : "; swing " + lines.window(swing, "s"))
              + "; pushed when "
              + lines.truth(pushed)
              + " }");
      lines.logic("  pull FL-9" + n + " when " + lines.field(left));
      lines.logic("  push FL-9" + n + " when " + lines.field(right));
    }

    private static final String KIND =
        """
        kind flap%s "a flap pulled and pushed by coils of its own" {
          command pull: loose, wide
          command push: slack, shut
          driven by pushed "the water pushes it"
          states shut, widening, wide, shutting, part_way
          when commanded wide and commanded shut { from widening, shutting to part_way }
          when commanded wide { from shut, part_way, shutting to widening }
          when commanded shut { from wide, part_way, widening to shutting }
          when pushed { from part_way to widening }
          widening takes swing, then wide
          shutting takes up to swing, then shut
          is moving: widening, shutting
          proves wide ZW
          starts shut
          fault jammed "it is jammed": stays
          stays { from widening, shutting to part_way }
        }
        """;
  }

  /** A valve with two coils, a valve with three ways, a drive with two speeds, a check valve. */
  record Shipped(int which, @Nullable Window time, Said first, Said second) implements EquipmentExtra {
    @Override
    public List<List<String>> truth(String n) {
      return switch (which) {
        case 0 -> List.of(List.of("XV-9" + n + " is open", "XV-9" + n + " is closed"));
        case 1 -> List.of(List.of("CV-9" + n + " is open", "CV-9" + n + " is not open"));
        default -> List.of(List.of("HP-9" + n + " is dosing", "HP-9" + n + " is turning"));
      };
    }

    @Override
    public List<List<String>> field(String n) {
      return which == 2 ? List.of(List.of("HP-9" + n + " is commanded off")) : List.of();
    }

    @Override
    public void write(String n, Lines lines) {
      switch (which) {
        case 0 -> {
          lines.process(
              "valve_two_solenoids XV-9"
                  + n
                  + (time == null ? "" : " { travel " + lines.window(time, "s") + " }"));
          lines.logic("  open XV-9" + n + " when " + lines.field(first));
          lines.logic("  close XV-9" + n + " when " + lines.field(second));
        }
        case 1 ->
            lines.process("check_valve CV-9" + n + " { forward when " + lines.truth(first) + " }");
        default -> {
          lines.process(
              "dosing_pump HP-9" + n);
          lines.logic("  dose HP-9" + n + " when " + lines.field(first));
        }
      }
    }
  }

  /** Pipes through two valves and a pump. */
  record Piped(@Nullable Window travel, Said one, Said two, Said pump) implements EquipmentExtra {
    @Override
    public List<List<String>> truth(String n) {
      return List.of(
          List.of("open path from well" + n + " to tank" + n, "flow from well" + n + " to tank" + n),
          List.of("P-63" + n + " is dead_headed", "P-63" + n + " is dry"));
    }

    @Override
    public void write(String n, Lines lines) {
      String timing = travel == null ? "" : "travel " + lines.window(travel, "s") + "; ";
      lines.process("valve FV-61" + n + " { " + timing + "fails closed }");
      lines.process("valve FV-62" + n + " { fails open }");
      lines.process("pump P-63" + n);
      lines.process("pipe from well" + n + " through FV-61" + n + ", P-63" + n + " to tank" + n);
      lines.process("pipe from well" + n + " through FV-62" + n + " to tank" + n);
      lines.logic("  open FV-61" + n + " when " + lines.field(one));
      lines.logic("  open FV-62" + n + " when " + lines.field(two));
      lines.logic("  run P-63" + n + " when " + lines.field(pump));
    }
  }

  /** The same valve twice, by a template. */
  record Twice(Said when, boolean counted) implements EquipmentExtra {
    @Override
    public List<List<String>> truth(String n) {
      return List.of(
          List.of("FV-51" + n + " is open", "any of (FV-5{1..2}" + n + " is open, FV-51" + n + " is closed)"));
    }

    @Override
    public void write(String n, Lines lines) {
      lines.process("template twin" + n + "(i, wanted) {");
      lines.process("  valve FV-5{i}" + n + " \"valve {i}\" { fails closed }");
      lines.process("  logic { open FV-5{i}" + n + " when {wanted} }");
      lines.process("}");
      String wanted = "wanted = (" + lines.field(when) + ")";
      if (counted) {
        lines.process("2 of twin" + n + "(" + wanted + ")");
      } else {
        lines.process("use twin" + n + "(i = 1, " + wanted + ")");
        lines.process("use twin" + n + "(i = 2, " + wanted + ")");
      }
    }
  }
}
