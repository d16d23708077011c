package stoplog.checker.cli;

import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.function.Function;
import stoplog.model.Model;

/** What one run of the command came to, in this process. */
record Ran(int status, String out, String err) {
  static Ran stoplog(String... args) {
    return with(Engine::shipped, new Interruption(), args);
  }

  static Ran with(Function<Model, Engine> engines, Interruption interruption, String... args) {
    return run(engines, interruption, false, false, args);
  }

  static Ran debugging(Function<Model, Engine> engines, String... args) {
    return run(engines, new Interruption(), false, true, args);
  }

  static Ran onTerminal(Function<Model, Engine> engines, String... args) {
    return run(engines, new Interruption(), true, false, args);
  }

  private static Ran run(
      Function<Model, Engine> engines,
      Interruption interruption,
      boolean terminal,
      boolean debug,
      String... args) {
    var out = new ByteArrayOutputStream();
    var err = new ByteArrayOutputStream();
    var surroundings =
        new Surroundings(
            new PrintStream(out, false, StandardCharsets.UTF_8),
            new PrintStream(err, false, StandardCharsets.UTF_8),
            terminal, terminal, true, debug);
    int status = Stoplog.run(List.of(args), surroundings, engines, interruption);
    return new Ran(
        status, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  long errLines() {
    return err.lines().count();
  }
}
