package stoplog.checker.cli;

import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;

/**
 * Where a command runs: its streams and what is known about them. Tests make their own.
 *
 * @param out for results
 * @param err for everything else
 * @param outIsTerminal whether a person reads {@code out} as it is written
 * @param errIsTerminal the same for {@code err}
 * @param colour whether the person wants colours on a terminal at all
 * @param debug whether internal errors are to come with their stack trace
 */
record Surroundings(
    PrintStream out,
    PrintStream err,
    boolean outIsTerminal,
    boolean errIsTerminal,
    boolean colour,
    boolean debug) {

  /** Set by the launcher: the words "out" and "err" for what is a terminal. */
  static final String TERMINALS = "stoplog.terminals";

  static Surroundings ofProcess() {
    String terminals = System.getProperty(TERMINALS);
    boolean both = terminals == null && System.console() != null && System.console().isTerminal();
    boolean colour =
        System.getenv().getOrDefault("NO_COLOR", "").isEmpty()
            && !"dumb".equals(System.getenv("TERM"));
    // Always UTF-8: the same plant gives the same bytes whatever the locale says.
    return new Surroundings(
        new PrintStream(new FileOutputStream(FileDescriptor.out), false, StandardCharsets.UTF_8),
        new PrintStream(new FileOutputStream(FileDescriptor.err), true, StandardCharsets.UTF_8),
        both || (terminals != null && terminals.contains("out")),
        both || (terminals != null && terminals.contains("err")),
        colour,
        !System.getenv().getOrDefault(Stoplog.DEBUG_VARIABLE, "").isEmpty());
  }
}
