package stoplog.plants.random;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.plants.random.SmallPlant.Said;

/** A construct of the logic, with equipment to show it by where it needs some. */
sealed interface LogicExtra extends Extra {
  /** A key that bypasses the permissive of a valve of its own. */
  record Bypass(int kind, Said when, Said condition) implements LogicExtra {
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
  record Remembered(boolean retained, Said to, Said back, Said more) implements LogicExtra {
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

  record Counted(boolean retained, Said up, @Nullable Said down, Said cleared) implements LogicExtra {
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
  record Turns(Said when, Said alternates, Said trips) implements LogicExtra {
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
      implements LogicExtra {
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
  record Votes(int form, Said one, Said two, Said three) implements LogicExtra {
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
      implements LogicExtra {
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
}
