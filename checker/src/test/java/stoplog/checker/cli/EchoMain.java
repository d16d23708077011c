package stoplog.checker.cli;

/** Stands in for stoplog in the tests of its launcher: prints its arguments and ends with the first if that is a number. */
public final class EchoMain {
  private EchoMain() {}

  public static void main(String[] args) {
    System.out.println(String.join("|", args));
    System.exit(args.length == 0 || !args[0].matches("[0-9]+") ? 0 : Integer.parseInt(args[0]));
  }
}
