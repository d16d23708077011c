package stoplog.checker.report;

import java.util.ArrayList;
import java.util.List;

/** An operator who does the same over and over, such as pressing a button, and nothing comes of it. */
final class Repeated {
  /** From so many lines on they are told as one. */
  private static final int FEWEST = 3;

  private Repeated() {}

  /** The lines, with one for the operator who does the same over and over. */
  static List<Story.Line> folded(List<Story.Line> lines) {
    var folded = new ArrayList<Story.Line>();
    for (int i = 0; i < lines.size(); ) {
      Story.Line line = lines.get(i);
      int end = i + 1;
      while (end < lines.size() && isAgain(line, lines.get(end))) {
        end++;
      }
      int times = end - i;
      if (times < FEWEST) {
        folded.add(line);
        i++;
      } else {
        String what =
            line.what() + ", " + times + " times until " + lines.get(end - 1).seconds() + " s";
        folded.add(new Story.Line(line.seconds(), line.who(), what, List.of()));
        i = end;
      }
    }
    return folded;
  }

  private static boolean isAgain(Story.Line line, Story.Line next) {
    return line.who() == Story.Who.OPERATOR
        && next.who() == line.who()
        && next.what().equals(line.what())
        && line.ledTo().isEmpty()
        && next.ledTo().isEmpty();
  }
}
