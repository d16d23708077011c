package stoplog.checker.cli;

import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Locale;
import java.util.function.Function;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Help.Ansi;
import stoplog.checker.explore.DeepThread;
import stoplog.model.Model;

/** The {@code stoplog} command. */
@Command(
    name = "stoplog",
    mixinStandardHelpOptions = true,
    versionProvider = Stoplog.Version.class,
    synopsisHeading = "Usage: ",
    descriptionHeading = "%n",
    description = {
      "Proves that hazards of a packaged water-treatment plant cannot happen, or shows a timed run in"
          + " which one does."
    },
    commandListHeading = "%nCommands:%n",
    optionListHeading = "%nOptions:%n",
    footer = {
      "",
      "For example:",
      "  stoplog check plants/marram-point",
      "",
      "\"stoplog check --help\" tells what it prints and what its exit status means."
    })
public final class Stoplog implements Runnable {
  /** Set to anything: internal errors come with their stack trace. */
  static final String DEBUG_VARIABLE = "STOPLOG_DEBUG";

  private final Surroundings surroundings;

  private Stoplog(Surroundings surroundings) {
    this.surroundings = surroundings;
  }

  /** Runs the command and ends the process with its {@link ExitStatus}. */
  public static void main(String[] args) {
    Interruption interruption = Interruption.ofProcess();
    int[] status = {ExitStatus.UNDECIDED};
    DeepThread.runIn(
        "stoplog",
        () -> status[0] = run(List.of(args), Surroundings.ofProcess(), Engine::shipped, interruption));
    interruption.over(status[0]);
    System.exit(status[0]);
  }

  /**
   * The whole command, without ending the process. Never throws for anything a user can do.
   *
   * @param engines makes what decides the claims of a model
   */
  static int run(
      List<String> args,
      Surroundings surroundings,
      Function<Model, Engine> engines,
      Interruption interruption) {
    try {
      return commandLine(surroundings, engines, interruption).execute(args.toArray(String[]::new));
    } catch (OutOfMemoryError _) {
      return complain(surroundings, "undecided: out of memory", ExitStatus.UNDECIDED);
    } catch (RuntimeException | AssertionError | StackOverflowError e) {
      return internalError(surroundings, e);
    } finally {
      surroundings.out().flush();
      surroundings.err().flush();
    }
  }

  private static CommandLine commandLine(
      Surroundings surroundings,
      Function<Model, Engine> engines,
      Interruption interruption) {
    var line = new CommandLine(new Stoplog(surroundings));
    line.addSubcommand(new CheckCommand(surroundings, engines, interruption));
    line.addSubcommand(new VerifyCommand(surroundings, engines, interruption));
    line.addSubcommand(new FormatCommand(surroundings));
    line.addSubcommand(new ExportCommand(surroundings, engines, interruption));
    line.setOut(new PrintWriter(surroundings.out(), true, StandardCharsets.UTF_8));
    line.setErr(new PrintWriter(surroundings.err(), true, StandardCharsets.UTF_8));
    line.setColorScheme(CommandLine.Help.defaultColorScheme(Ansi.OFF));
    line.setUsageHelpWidth(100);
    // A plant's file name may begin with an at-sign; it is not a file of more arguments.
    line.setExpandAtFiles(false);
    line.setParameterExceptionHandler(
        (wrong, _) -> {
          String command = wrong.getCommandLine().getCommandSpec().qualifiedName();
          return complain(
              surroundings,
              sentence(wrong) + "; see " + command + " --help",
              ExitStatus.WRONG_INPUT);
        });
    line.setExecutionExceptionHandler((e, _, _) -> internalError(surroundings, e));
    return line;
  }

  /** What is wrong with the command, in our words. */
  private static String sentence(CommandLine.ParameterException wrong) {
    if (wrong instanceof CommandLine.UnmatchedArgumentException unmatched) {
      String first = unmatched.getUnmatched().getFirst();
      return (unmatched.isUnknownOption() ? "unknown option " : "nothing can be done with ") + first;
    }
    if (wrong instanceof CommandLine.MissingParameterException missing
        && !missing.getMissing().isEmpty()
        && missing.getMissing().getFirst().isPositional()) {
      return missing.getMissing().getFirst().paramLabel() + " is missing";
    }
    String message = oneLine(String.valueOf(wrong.getMessage()));
    return message.substring(0, 1).toLowerCase(Locale.ROOT) + message.substring(1);
  }

  /** Without a command there is nothing to do. */
  @Override
  public void run() {
    throw new CommandLine.ParameterException(
        new CommandLine(this), "say what to do, for example: stoplog check plants/marram-point");
  }

  /** One line for the user, and this status. */
  static int complain(Surroundings surroundings, String what, int status) {
    surroundings.err().println("stoplog: " + oneLine(what));
    return status;
  }

  /** Says that the fault is ours. It is never told as a finding, nor as a proof. */
  static int internalError(Surroundings surroundings, Throwable e) {
    complain(
        surroundings,
        "internal error: " + describe(e) + " (this is a fault of stoplog, not of the plant; please"
            + " report it with the plant file, see README.md; " + DEBUG_VARIABLE
            + "=1 shows more)",
        ExitStatus.UNDECIDED);
    if (surroundings.debug()) {
      e.printStackTrace(surroundings.err());
    }
    return ExitStatus.UNDECIDED;
  }

  static String describe(Throwable e) {
    String message = e.getMessage();
    String kind = e.getClass().getSimpleName();
    return message == null || message.isBlank() ? kind : kind + ": " + oneLine(message);
  }

  private static String oneLine(String text) {
    return text.replaceAll("\\s*\\R\\s*", " ").strip();
  }

  /** The version the jar was built as. */
  static final class Version implements CommandLine.IVersionProvider {
    static String number() {
      String version = Stoplog.class.getPackage().getImplementationVersion();
      return version == null ? "(not packaged)" : version;
    }

    @Override
    public String[] getVersion() {
      return new String[] {"stoplog " + number()};
    }
  }
}
