package stoplog.plants.bench;

import java.io.PrintStream;
import java.util.Locale;

/** A table on standard output: what was measured, the figure, the ratio, its goal, and whether it is reached. */
final class Report {
  private final PrintStream out;

  Report(PrintStream out) {
    this.out = out;
  }

  void head(String title) {
    out.printf("%n%s%n", title);
    out.printf("%-58s %24s %11s %14s%n", "what", "figure", "ratio", "goal");
    out.flush();
  }

  /** A figure alone. */
  void figure(String what, String figure) {
    out.printf("%-58s %24s%n", what, figure);
    out.flush();
  }

  /** A ratio that is to be at least so much. */
  void atLeast(String what, String figure, double ratio, double goal) {
    line(what, figure, ratio, ">= " + number(goal), ratio >= goal);
  }

  /** A ratio that is to be at most so much. */
  void atMost(String what, String figure, double ratio, double goal) {
    line(what, figure, ratio, "<= " + number(goal), ratio <= goal);
  }

  /** A figure that is to be exactly so. */
  void must(String what, String figure, boolean reached) {
    out.printf("%-58s %24s %11s %14s  %s%n", what, figure, "", "", reached ? "reached" : "NOT REACHED");
    out.flush();
  }

  void note(String text) {
    out.println(text);
    out.flush();
  }

  private void line(String what, String figure, double ratio, String goal, boolean reached) {
    out.printf(
        "%-58s %24s %11s %14s  %s%n",
        what, figure, number(ratio), goal, reached ? "reached" : "NOT REACHED");
    out.flush();
  }

  static String number(double x) {
    String form = Math.abs(x) >= 100 ? "%,.0f" : Math.abs(x) >= 10 ? "%.1f" : "%.2f";
    return String.format(Locale.ROOT, form, x);
  }

  /** Nanoseconds in a unit fit to read. */
  static String time(double nanos) {
    return nanos < 1e6
        ? number(nanos / 1e3) + " us"
        : nanos < 1e9 ? number(nanos / 1e6) + " ms" : number(nanos / 1e9) + " s";
  }
}
