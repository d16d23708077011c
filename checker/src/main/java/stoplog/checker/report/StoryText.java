package stoplog.checker.report;

import java.util.ArrayList;
import java.util.List;

/**
 * A story as text of 100 columns: when, who, what happened, what it led to. The time is written once
 * for all that happens at one instant.
 */
public final class StoryText {
  private static final String INDENT = "  ";
  private static final int WHO_WIDTH = 10;
  private static final int WHAT_WIDTH = 31;
  private static final String GAP = "  ";

  private StoryText() {}

  /** The whole story, each line ended. */
  public static String render(Story story, Ink ink) {
    var text = new StringBuilder();
    heading(text, story, ink);
    text.append('\n');
    int timeWidth = Math.max(6, story.end().toPlainString().length());
    String shown = "";
    for (Story.Line line : story.lines()) {
      String time = line.seconds().toPlainString();
      String stamp = time.equals(shown) && !line.who().end() ? "" : time + " s";
      shown = time;
      rows(text, line, Columns.right(stamp, timeWidth + 2), ink);
    }
    remarks(text, story, ink);
    return text.toString();
  }

  private static void heading(StringBuilder text, Story story, Ink ink) {
    int room = Columns.WIDTH - Columns.length(story.measure()) - GAP.length();
    List<String> lines = Columns.wrap(story.heading(), room);
    for (int i = 0; i < lines.size(); i++) {
      boolean last = i == lines.size() - 1;
      String line = last ? Columns.left(lines.get(i), room) : lines.get(i);
      text.append(ink.strong(line)).append(last ? GAP + story.measure() : "").append('\n');
    }
  }

  private static void rows(StringBuilder text, Story.Line line, String stamp, Ink ink) {
    int margin = INDENT.length() + stamp.length() + 2 * GAP.length() + WHO_WIDTH;
    int ledToWidth = Columns.WIDTH - margin - WHAT_WIDTH - GAP.length();
    List<String> what;
    List<String> ledTo = new ArrayList<>();
    if (line.who().end()) {
      // The end has no consequences but ingredients: they go below it, over the whole width.
      what = new ArrayList<>(Columns.wrap(line.what(), Columns.WIDTH - margin));
      for (String ingredient : line.ledTo()) {
        what.addAll(hanging(ingredient, Columns.WIDTH - margin));
      }
    } else {
      int room = line.ledTo().isEmpty() ? Columns.WIDTH - margin : WHAT_WIDTH;
      what = Columns.wrapAtCommas(line.what(), room);
      for (String consequence : line.ledTo()) {
        ledTo.addAll(hanging(consequence, ledToWidth));
      }
    }
    int rows = Math.max(what.size(), ledTo.size());
    for (int i = 0; i < rows; i++) {
      String who = Columns.left(i == 0 ? line.who().word() : "", WHO_WIDTH);
      String left = i < what.size() ? what.get(i) : "";
      String right = i < ledTo.size() ? GAP + ledTo.get(i) : "";
      String row =
          INDENT
              + (i == 0 ? stamp : " ".repeat(stamp.length()))
              + GAP
              + (line.who().end() && i == 0 ? ink.bad(who) : who)
              + GAP
              + (right.isEmpty() ? left : Columns.left(left, WHAT_WIDTH) + right);
      text.append(row.stripTrailing()).append('\n');
    }
  }

  /** Wrapped with the second and further lines set in, so that each consequence stands apart. */
  private static List<String> hanging(String text, int width) {
    List<String> lines = Columns.wrap(text, width - 2);
    var set = new ArrayList<String>();
    for (int i = 0; i < lines.size(); i++) {
      set.add((i == 0 ? "" : "  ") + lines.get(i));
    }
    return set;
  }

  private static void remarks(StringBuilder text, Story story, Ink ink) {
    var remarks = new ArrayList<String>();
    if (story.leftOut() > 0) {
      remarks.add(
          story.leftOut() == 1
              ? "Left out: 1 step that touches nothing this claim depends on."
              : "Left out: " + story.leftOut()
                  + " steps that touch nothing this claim depends on.");
    }
    if (story.fewest() < story.events()) {
      remarks.add(
          story.fewest() == 0
              ? "There may be a shorter run."
              : "There may be a shorter run; none has fewer than " + story.fewest() + " events.");
    }
    if (!remarks.isEmpty()) {
      text.append('\n');
      for (String remark : remarks) {
        text.append(INDENT).append(ink.faint(remark)).append('\n');
      }
    }
  }
}
