package stoplog.plants.random;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.plants.random.SmallPlant.Said;
import stoplog.plants.random.SmallPlant.Window;

/**
 * A construct of the language that a random plant may have beside its machines, with what can be said
 * about it elsewhere in the plant. Its names end in {@code n}.
 */
sealed interface Extra {
  /** What may be said of its truth: things, and forms of each. */
  default List<List<String>> truth(String n) {
    return List.of();
  }

  /** What the logic may say of it. */
  default List<List<String>> field(String n) {
    return List.of();
  }

  void write(String n, Lines lines);

  /** Where an extra writes itself, and how it says conditions. */
  interface Lines {
    void process(String line);

    void panel(String line);

    void logic(String line);

    /** A condition over the truth. */
    String truth(Said said);

    /** A condition over what the logic sees. */
    String field(Said said);

    default String window(Window w, String unit) {
      return w.low() + ".." + (w.low() + w.more()) + " " + unit;
    }
  }

  /** A condition with causes. A start or end that must come has a window. */
  record Caused(
      @Nullable Window start, Said startsWhen, @Nullable Window end, Said endsWhen, int initially)
      implements Extra {
    @Override
    public List<List<String>> truth(String n) {
      return List.of(List.of("caused" + n));
    }

    @Override
    public void write(String n, Lines lines) {
      lines.process(
          "condition caused"
              + n
              + " { "
              + cause("start", start, startsWhen, lines)
              + "; "
              + cause("end", end, endsWhen, lines)
              + List.of("", "; initially absent", "; initially present").get(initially)
              + " }");
    }

    private static String cause(String what, @Nullable Window window, Said when, Lines lines) {
      return (window == null
              ? "may " + what
              : "must " + what + " within " + lines.window(window, "s"))
          + " when "
          + lines.truth(when);
    }
  }

  /** A number of the process. */
  record Tally(@Nullable Window rise, Said risesWhen, Said fallsWhen, int initially)
      implements Extra {
    @Override
    public List<List<String>> truth(String n) {
      return List.of(List.of("tally" + n + " >= 1", "tally" + n + " < 2", "tally" + n + " > 1"));
    }

    @Override
    public void write(String n, Lines lines) {
      lines.process(
          "count tally"
              + n
              + " from 0 to 2 { "
              + Caused.cause("rise", rise, risesWhen, lines)
              + "; may fall when "
              + lines.truth(fallsWhen)
              + (initially < 3 ? "; initially " + initially : "")
              + " }");
    }
  }

  /**
   * A pressure and its transmitter.
   *
   * @param moves 0 at a rate both ways, 1 gradually, 2 in jumps, 3 up at a rate and down in jumps
   * @param lag {@code null} for a transmitter that reads the truth
   */
  record Measured(
      int moves, Window rate, Said up, Said down, @Nullable Window lag, boolean deadBand)
      implements Extra {
    @Override
    public List<List<String>> truth(String n) {
      return List.of(List.of("pressure" + n + " > 5 bar", "pressure" + n + " <= 5 bar"));
    }

    @Override
    public List<List<String>> field(String n) {
      return List.of(
          List.of("PT-9" + n + " > 5 bar", "PT-9" + n + " >= high" + n, "PT-9" + n + " is good"));
    }

    @Override
    public void write(String n, Lines lines) {
      lines.process("analog pressure" + n + " in bar from 0 to 10 {");
      boolean up = moves == 0 || moves == 3;
      String at = lines.window(rate, "bar/s") + " while ";
      lines.process(up ? "  rises at " + at + lines.truth(this.up) : "  -- no rate");
      lines.process(
          switch (moves) {
            case 0 -> "  falls at " + at + lines.truth(down);
            case 1 -> "  moves gradually";
            default -> "  jumps while " + lines.truth(down);
          });
      lines.process("}");
      lines.process(
          "transmitter PT-9"
              + n
              + " in bar from 0 to 10 follows pressure"
              + n
              + (lag == null ? "" : " within " + lines.window(lag, "s"))
              + (deadBand ? " dead band 0.5 bar" : ""));
      lines.panel("  setpoint high" + n + " = 6 bar within 5..7 bar");
    }
  }

  /** A switch whose wiring is said. */
  record Wired(boolean closed, Said follows, @Nullable Window lag) implements Extra {
    @Override
    public List<List<String>> field(String n) {
      return List.of(List.of("LS-9" + n));
    }

    @Override
    public void write(String n, Lines lines) {
      lines.process(
          "switch LS-9"
              + n
              + " normally "
              + (closed ? "closed" : "open")
              + " follows "
              + lines.truth(follows)
              + (lag == null ? "" : " within " + lines.window(lag, "s")));
    }
  }

  /** A kind of equipment that the plant describes itself, with two commands and a fault. */
  record OwnKind(@Nullable Window swing, Said left, Said right, Said pushed) implements Extra {
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
  record Shipped(int which, @Nullable Window time, Said first, Said second) implements Extra {
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

  /** A key that bypasses the permissive of a valve of its own. */
  record Bypass(int kind, Said when, Said condition) implements Extra {
    @Override
    public List<List<String>> truth(String n) {
      return List.of(List.of("FV-9" + n + " is open", "FV-9" + n + " is closed"));
    }

    @Override
    public List<List<String>> field(String n) {
      return List.of(List.of("key" + n), List.of("blocked FV-9" + n));
    }

    @Override
    public void write(String n, Lines lines) {
      lines.process("valve FV-9" + n + " { fails closed }");
      lines.panel("  key key" + n);
      lines.logic("  open FV-9" + n + " when " + lines.field(when) + " {");
      lines.logic("    interlock \"other\" : not key" + n);
      String reset = kind == 2 ? " reset by key" + n : "";
      lines.logic(
          "    "
              + List.of("permissive", "interlock", "trip").get(kind)
              + " \"it\" : "
              + lines.field(condition)
              + reset
              + " bypassable by key"
              + n);
      lines.logic("  }");
    }
  }

  /** A memory with names, and one that counts. */
  record Remembered(boolean retained, Said to, Said back, Said more) implements Extra {
    @Override
    public List<List<String>> field(String n) {
      return List.of(
          List.of("phase" + n + " is busy", "phase" + n + " is not idle"),
          List.of("tries" + n + " >= 2", "tries" + n + " < 1"));
    }

    @Override
    public void write(String n, Lines lines) {
      lines.logic((retained ? "  retained" : " ") + " memory phase" + n + ": idle, busy, done starts idle");
      lines.logic("  memory tries" + n + ": 0..2");
      lines.logic("  phase" + n + " := busy when " + lines.field(to));
      lines.logic("  phase" + n + " := done when " + lines.field(back));
      lines.logic("  tries" + n + " := tries" + n + " + 1 when " + lines.field(more));
    }
  }

  record Counted(boolean retained, Said up, @Nullable Said down, Said cleared) implements Extra {
    @Override
    public List<List<String>> field(String n) {
      return List.of(List.of("strokes" + n + " >= 1", "strokes" + n + " is full"));
    }

    @Override
    public void write(String n, Lines lines) {
      lines.logic(
          (retained ? "  retained" : " ")
              + " counter strokes"
              + n
              + " to 2: up by "
              + lines.field(up)
              + (down == null ? "" : "; down by " + lines.field(down))
              + "; cleared by "
              + lines.field(cleared));
    }
  }

  /** Two pumps that take turns. */
  record Turns(Said when, Said alternates, Said trips) implements Extra {
    @Override
    public List<List<String>> truth(String n) {
      return List.of(List.of("P-81" + n + " is turning", "P-82" + n + " is turning"));
    }

    @Override
    public List<List<String>> field(String n) {
      return List.of(List.of("P-81" + n + " is duty"));
    }

    @Override
    public void write(String n, Lines lines) {
      lines.process("pump P-81" + n);
      lines.process("pump P-82" + n);
      lines.logic("  duty turn" + n + ": P-81" + n + ", P-82" + n + "; alternates when " + lines.field(alternates));
      lines.logic("  run P-81" + n + " when P-81" + n + " is duty and " + "(" + lines.field(when) + ") {");
      lines.logic("    trip \"it\" : " + lines.field(trips) + " reset by not P-81" + n + " is duty");
      lines.logic("  }");
      lines.logic("  run P-82" + n + " when P-82" + n + " is duty and " + "(" + lines.field(when) + ")");
    }
  }

  /** A group of two alarms. */
  record Alarms(
      boolean firstOut, boolean latched, Said one, Said other, Said acknowledged, Said reset)
      implements Extra {
    @Override
    public List<List<String>> field(String n) {
      String a = "A-1" + n;
      return List.of(
          List.of(a, a + " is unacknowledged", a + " is returned", a + " is standing"),
          List.of("group" + n + " is standing", "A-2" + n + " is acknowledged"),
          firstOut ? List.of(a + " is first", "A-2" + n + " is first") : List.of(a + " is active"));
    }

    @Override
    public void write(String n, Lines lines) {
      lines.logic("  alarm group group" + n + (firstOut ? " first-out {" : " {"));
      lines.logic("    alarm A-1" + n + " \"one\": " + lines.field(one) + (latched ? " latched" : ""));
      lines.logic("    alarm A-2" + n + " \"other\": " + lines.field(other));
      lines.logic("    acknowledged by " + lines.field(acknowledged));
      lines.logic("    reset by " + lines.field(reset));
      lines.logic("  }");
    }
  }

  /** A count of three conditions, or of five, two of which are said again. */
  record Votes(int form, Said one, Said two, Said three) implements Extra {
    private static final List<String> HOW =
        List.of(
            "at least 2", "at most 1", "exactly 2", "any", "all", "none", "at least 3", "exactly 2",
            "at most 3");

    @Override
    public List<List<String>> field(String n) {
      return List.of(List.of("vote" + n));
    }

    @Override
    public void write(String n, Lines lines) {
      String plain = lines.field(one) + ", " + lines.field(two) + ", " + lines.field(three);
      String again = ", not (" + lines.field(one) + "), " + lines.field(two);
      String counted = form < 6 ? plain : plain + again;
      lines.logic("  signal vote" + n + " = " + HOW.get(form) + " of (" + counted + ")");
    }
  }

  /**
   * A sequence of three steps and a valve that one of them opens.
   *
   * @param shape 0 a ring, 1 with an alternative, 2 with two branches at once, 3 with a macro
   * @param after 0 for no step timer
   */
  record Chart(
      int shape, int after, Said go, Said on, Said back, @Nullable Said hold, @Nullable Said abort)
      implements Extra {
    @Override
    public List<List<String>> truth(String n) {
      return List.of(List.of("FV-7" + n + " is open", "FV-7" + n + " is closed"));
    }

    @Override
    public List<List<String>> field(String n) {
      String s = "chart" + n;
      return List.of(List.of(s + " is idle", s + " is work", s + " is other", "mark" + n));
    }

    @Override
    public void write(String n, Lines lines) {
      lines.process("valve FV-7" + n + " { fails closed }");
      lines.logic("  latch mark" + n + ": set by " + lines.field(on) + "; cleared by " + lines.field(back));
      lines.logic("  sequence chart" + n + " {");
      lines.logic("    initial step idle");
      lines.logic("    step work { open FV-7" + n + "; on entry set mark" + n + " }");
      lines.logic(
          shape == 3 ? "    step other is macro part" : "    step other { on exit clear mark" + n + " }");
      String go = lines.field(this.go);
      String on = lines.field(this.on) + (after == 0 ? "" : " after " + after + " s");
      String back = lines.field(this.back);
      switch (shape) {
        case 0, 3 -> {
          lines.logic("    from idle to work when " + go);
          lines.logic("    from work to other when " + on);
          lines.logic("    from other to idle when " + back);
        }
        case 1 -> {
          lines.logic("    from idle to work when " + go);
          lines.logic("    from idle to other when " + on);
          lines.logic("    from work to idle when " + back);
          lines.logic("    from other to idle when " + back);
        }
        default -> {
          lines.logic("    from idle to work, other when " + go);
          lines.logic("    from work, other to idle when " + on);
        }
      }
      if (shape == 3) {
        lines.logic("    macro part { entry step a; exit step b; from a to b when " + go + " }");
      }
      if (hold != null) {
        lines.logic("    hold when " + lines.field(hold));
      }
      if (abort != null) {
        lines.logic("    abort to idle when " + lines.field(abort));
      }
      lines.logic("  }");
    }
  }

  /** Pipes through two valves and a pump. */
  record Piped(@Nullable Window travel, Said one, Said two, Said pump) implements Extra {
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
  record Twice(Said when, boolean counted) implements Extra {
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
