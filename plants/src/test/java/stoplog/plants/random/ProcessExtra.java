package stoplog.plants.random;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.plants.random.SmallPlant.Said;
import stoplog.plants.random.SmallPlant.Window;

/** Something of the process, or an instrument that follows it. */
sealed interface ProcessExtra extends Extra {
  /** A condition with causes. A start or end that must come has a window. */
  record Caused(
      @Nullable Window start, Said startsWhen, @Nullable Window end, Said endsWhen, int initially)
      implements ProcessExtra {
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
      implements ProcessExtra {
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
      implements ProcessExtra {
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
  record Wired(boolean closed, Said follows, @Nullable Window lag) implements ProcessExtra {
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
}
