package stoplog.plants.works;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.Collectors;
import java.util.stream.IntStream;

/**
 * Plants of any size, as text. The same size gives the same text, and a smaller works is the beginning
 * of a larger one.
 */
public final class Works {
  private static final long SEED = 20_260_101;

  /** How often each part comes, in the long run, as often as it is named here. */
  private static final List<String> MIX =
      List.of("seawater", "seawater", "filters", "dosing", "racks", "cleaning", "tank", "tank");

  private static final int[] FIRST_PARTS = {0, 2, 6};

  /** The first area's number. Areas have three digits. */
  private static final int FIRST = 101;

  private Works() {}

  /**
   * A works of about so many tags: areas drawn from seawater skids, filter pairs, dosing skids,
   * ultrafiltration racks, cleaning skids and tanks, with one power supply, one intake gate and one horn.
   *
   * @param tags from 100 to 20,000, or a few less for the smallest works; it has as many or up to 60 more
   */
  public static String of(int tags) {
    List<Part> parts = MIX.stream().map(Part::named).toList();
    var random = new Random(SEED);
    List<Part> areas = new ArrayList<>();
    int written = 0;
    while (written < tags || areas.size() < FIRST_PARTS.length) {
      // First what the claims of the whole need, then at random.
      Part next = areas.size() < FIRST_PARTS.length ? parts.get(FIRST_PARTS[areas.size()]) : parts.get(random.nextInt(parts.size()));
      areas.add(next);
      written += next.tags();
    }
    var text = new StringBuilder("plant \"Works of %,d tags\"%n".formatted(written));
    text.append(Part.file("works"));
    parts.stream().distinct().filter(areas::contains).forEach(p -> text.append('\n').append(p.text()));
    text.append('\n');
    for (int i = 0; i < areas.size(); i++) {
      text.append("use %s(n = %d)%n".formatted(areas.get(i).name(), FIRST + i));
    }
    text.append(whole(areas));
    return text.toString().replace("\r", "");
  }

  /** What the areas have in common, and what is claimed of all of them. */
  private static String whole(List<Part> areas) {
    List<String> skids = numbers(areas, "seawater");
    List<String> pairs = numbers(areas, "filters");
    List<String> all = IntStream.range(0, areas.size()).mapToObj(i -> "" + (FIRST + i)).toList();
    List<String> atRest = skids.stream().map("SS-%1$s21, SS-%1$s22"::formatted).toList();
    List<String> turning = skids.stream().map("P-%1$s21 is turning, P-%1$s22 is turning"::formatted).toList();
    return """

        logic {
          open GV-1 when gate is open or (GV-1 is commanded open and not %1$s)
          sound HN-1 when not silence and %2$s
          light BN-1 when %5$s
        }

        -- 9.2 s at worst, where power fails and returns on the way: scan 0.2 s, slowing down twice 2 s, coast 5 s.
        hazard H-9001 "a high-pressure pump against the shut intake gate" :
          %3$s and GV-1 is closed for 10 s
        hazard H-9002 "both filters of a pair washed at once" :
          %4$s
        """
        .formatted(
            listed("all", atRest),
            listed("any", all.stream().map("alarms_%s is unacknowledged"::formatted).toList()),
            listed("any", turning),
            listed("any", pairs.stream().map("FV-%1$s13 is not closed and FV-%1$s23 is not closed"::formatted).toList()),
            listed("any", all.stream().map("alarms_%s is standing"::formatted).toList()));
  }

  private static List<String> numbers(List<Part> areas, String name) {
    return IntStream.range(0, areas.size())
        .filter(i -> areas.get(i).name().equals(name))
        .mapToObj(i -> "" + (FIRST + i))
        .toList();
  }

  /** {@code any of (a, b)}, in lines that are not too long. */
  private static String listed(String word, List<String> items) {
    return items.stream().collect(Collectors.joining(",\n    ", word + " of (\n    ", ")"));
  }

  /**
   * So many trains side by side behind one intake valve, with one power supply and one cleaning skid that
   * cleans one train at a time.
   *
   * @param count from 1 to 60
   */
  public static String trains(int count) {
    List<String> trains = IntStream.range(0, count).mapToObj(i -> "" + (FIRST + i)).toList();
    var text = new StringBuilder("plant \"%d trains side by side\"%n".formatted(count));
    text.append(Part.file("trains"));
    text.append(
        """

        logic {
          memory cleaned "which train is cleaned": nobody, %s
        }

        """
            .formatted(trains.stream().map("train_%s"::formatted).collect(Collectors.joining(", "))));
    text.append(Part.file("train_of_many"));
    text.append('\n');
    for (String n : trains) {
      String others =
          trains.stream()
              .filter(o -> !o.equals(n))
              .map("ZSC-%1$s2, FV-%1$s2 is commanded closed"::formatted)
              .collect(Collectors.joining(", ", "all of (", ")"));
      text.append("use train(n = %s, others = %s)%n".formatted(n, count == 1 ? "ZSC-" + n + "2" : others));
    }
    String atRest = trains.stream().map("SS-%s1"::formatted).collect(Collectors.joining(", "));
    text.append(
        """

        logic {
          open FV-1 when %1$s or (FV-1 is commanded open and not all of (%2$s)) {
            permissive "all pumps at rest" : all of (%2$s)
          }
          run P-5 when jog and %3$s {
            interlock "a train is lined up" : %4$s
            interlock "tank not low"        : not LSL-5
            interlock "drain shut"          : ZSC-5 and FV-5 is commanded closed
          }
          open FV-5 when drain {
            interlock "all pumps at rest" : all of (%2$s, SS-5)
            interlock "none just started" : all of (%8$s, P-5 is commanded off)
          }
        }

        hazard H-01 "a pump against the shut intake valve" : any of (%5$s) and FV-1 is closed
%6$s        hazard H-03 "cleaning pump with no train lined up" : P-5 is running and none of (%7$s) for 3 s
        hazard H-04 "the tank is drained while a pump turns" :
          FV-5 is opening and any of (%5$s) and P-5 is turning
        """
            .formatted(
                listed("any", trains.stream().map("wanted_%s"::formatted).toList()),
                atRest,
                "mode is off",
                listed("any", trains.stream().map("ZSO-%1$s2 and ZSO-%1$s3"::formatted).toList()),
                joined(trains, "P-%s1 is turning"),
                count == 1
                    ? ""
                    : "hazard H-02 \"two trains cleaned at once\" : at least 2 of (%s)\n"
                        .formatted(joined(trains, "FV-%s2 is not closed")),
                joined(trains, "FV-%1$s2 is not closed and FV-%1$s3 is not closed"),
                joined(trains, "P-%s1 is commanded off")));
    return text.toString().replace("\r", "");
  }

  private static String joined(List<String> numbers, String form) {
    return numbers.stream().map(n -> form.formatted(n)).collect(Collectors.joining(", "));
  }

  /**
   * One pump, and an alarm group of so many latches that stops it.
   *
   * @param latches from 2 to 63
   */
  public static String alarmGroup(int latches) {
    var fields = new StringBuilder();
    var alarms = new StringBuilder();
    List<String> numbers = new ArrayList<>();
    for (int i = 1; i <= latches; i++) {
      String n = "%02d".formatted(i);
      numbers.add(n);
      fields.append(
          """
          condition fault_%1$s "fault %1$s is there" comes and goes
          switch XS-%1$s "fault %1$s" normally closed follows fault_%1$s within 0.5..2 s
          """
              .formatted(n));
      alarms.append("    alarm A-%1$s \"fault %1$s\" : XS-%1$s latched%n".formatted(n));
    }
    return """
        plant "Alarm group of %1$d latches"
        controller reacts within 200 ms
        power may fail

        pump P-1 "feed pump" { coast 1..2 s; proves running YS-1 }

        %2$s
        panel {
          button start, stop, acknowledge, reset
        }

        logic {
          latch wanted "feed wanted": set by start; cleared by stop or feed is standing
          alarm group feed "feed alarms" first-out {
        %3$s    acknowledged by acknowledge
            reset by reset
          }
          run P-1 when wanted {
            interlock "no alarm stands" : not feed is standing
          }
        }

        -- 2.2 s at worst: scan 0.2 s, coast 2 s.
        require R-02 "a switch that tells of a fault stops the pump" :
          after %4$s, (P-1 is at rest or none of (%5$s)) within 3 s
        require R-03 "an alarm that stands stops the pump" :
          after feed is standing, (P-1 is at rest or not feed is standing) within 3 s
        require R-04 "one alarm is first" : never together %6$s
        require R-01 "feeds" : can P-1 is running for 10 s
        """
        .formatted(
            latches, fields, alarms, listed("any", numbers.stream().map("XS-%s"::formatted).toList()),
            joined(numbers, "XS-%s"),
            joined(numbers, "A-%s is first"))
        .replace("\r", "");
  }
}
