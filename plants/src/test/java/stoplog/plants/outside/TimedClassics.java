package stoplog.plants.outside;

import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;

import java.util.ArrayList;
import java.util.List;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;

/** Models with clocks whose verdicts turn on the last instant of a window. */
final class TimedClassics {
  private TimedClassics() {}

  /**
   * Mutual exclusion by delay: a process that found the shared register empty writes its number into
   * it within a, waits for b, and goes inside if the number still stands there. Claim "both" asks for
   * two inside.
   *
   * @param ask the longest time from looking to writing
   * @param wait the shortest time from writing to looking again
   */
  static Model exclusionByDelay(int processes, Bound ask, Bound wait) {
    var m = new ModelBuilder(processes + " processes").powered(Expr.FALSE);
    Var register = m.number("register", Role.PROCESS, processes + 1);
    List<Var> phases = new ArrayList<>();
    for (int i = 1; i <= processes; i++) {
      Var phase = m.variable("process " + i, Role.PROCESS, "rest", "ask", "wait", "inside");
      phases.add(phase);
      Watch asking = m.clock("asking " + i, phase.is("ask")).limit(ask);
      Watch waiting = m.clock("waiting " + i, phase.is("wait"));
      m.change(i + " asks").when(Expr.all(phase.is("rest"), register.is(0))).does(phase.to("ask"));
      m.change(i + " writes")
          .when(phase.is("ask"))
          .within(asking, Bound.at(0), ask)
          .does(phase.to("wait"), register.to(i));
      m.change(i + " goes in")
          .when(Expr.all(phase.is("wait"), register.is(i)))
          .within(waiting, wait, null)
          .does(phase.to("inside"));
      m.change(i + " asks again")
          .when(Expr.all(phase.is("wait"), register.is(0)))
          .does(phase.to("ask"));
      m.change(i + " leaves").when(phase.is("inside")).does(phase.to("rest"), register.to(0));
    }
    List<Expr> pairs = new ArrayList<>();
    for (int i = 0; i < processes; i++) {
      for (int j = i + 1; j < processes; j++) {
        pairs.add(Expr.all(phases.get(i).is("inside"), phases.get(j).is("inside")));
      }
    }
    m.hazard("both", Expr.any(pairs));
    return m.build();
  }

  /**
   * A train, a gate and its controller, in tenths: the train is in the crossing more than 2 after its
   * approach and out before 5; the gate is told down exactly 1 after the approach and takes less than
   * the given time; it is told up less than 1 after the train has left and takes between 1 and 2.
   * Claim "open" asks for the train in the crossing and the gate not down.
   */
  static Model levelCrossing(Bound gateDown) {
    var m = new ModelBuilder("level crossing").powered(Expr.FALSE);
    Var train = m.variable("train", Role.PROCESS, "far", "near", "crossing");
    Var gate = m.variable("gate", Role.EQUIPMENT, "up", "lowering", "down", "rising");
    Var keeper = m.variable("keeper", Role.MEMORY, "idle", "lowers", "guards", "raises");
    Watch approach = m.clock("approach", train.is("near", "crossing")).limit(Bound.open(50));
    Watch keeping = m.clock("keeper lowers", keeper.is("lowers")).limit(Bound.at(10));
    Watch opening = m.clock("keeper raises", keeper.is("raises")).limit(Bound.open(10));
    Watch falling = m.clock("gate falls", gate.is("lowering")).limit(gateDown);
    Watch rising = m.clock("gate rises", gate.is("rising")).limit(Bound.open(20));
    m.change("train near")
        .when(Expr.all(train.is("far"), keeper.is("idle"), gate.is("up")))
        .does(train.to("near"), keeper.to("lowers"));
    m.change("train in")
        .when(train.is("near"))
        .within(approach, Bound.open(20), null)
        .does(train.to("crossing"));
    m.change("train out")
        .when(Expr.all(train.is("crossing"), keeper.is("guards")))
        .within(approach, Bound.at(0), Bound.open(50))
        .does(train.to("far"), keeper.to("raises"));
    m.change("gate told down")
        .when(keeper.is("lowers"))
        .between(keeping, 10, 10)
        .does(keeper.to("guards"), gate.to("lowering"));
    m.change("gate told up")
        .when(Expr.all(keeper.is("raises"), gate.is("down")))
        .within(opening, Bound.at(0), Bound.open(10))
        .does(keeper.to("idle"), gate.to("rising"));
    m.change("gate down")
        .when(gate.is("lowering"))
        .within(falling, Bound.at(0), gateDown)
        .does(gate.to("down"));
    m.change("gate up")
        .when(gate.is("rising"))
        .within(rising, Bound.open(10), Bound.open(20))
        .does(gate.to("up"));
    m.hazard("open", Expr.all(train.is("crossing"), Expr.not(gate.is("down"))));
    return m.build();
  }

  /** A window in tenths of a second. */
  record Window(long least, long most) {}

  /**
   * One stop for a valve and a pump, in tenths of a second: the valve is told to shut a delay after
   * the stop and takes its travel, the pump coasts from the stop on. Claim "overlap" asks for time
   * with the pump turning and the valve shut; "touch" for both even in a single instant.
   */
  static Model stopRace(Window travel, Window coast, long delay) {
    var m = new ModelBuilder("stop race").powered(Expr.FALSE);
    Var valve = m.equipment("valve", "open", "closing", "shut");
    Var pump = m.equipment("pump", "coasting", "at rest");
    Var touched = m.monitor("touched");
    Watch waiting = m.clock("delay", valve.is("open")).limit(delay);
    Watch closing = m.clock("travel", valve.is("closing")).limit(travel.most());
    Watch coasting = m.clock("coast", pump.is("coasting")).limit(coast.most());
    m.change("valve told shut")
        .by(Cause.EQUIPMENT)
        .when(valve.is("open"))
        .between(waiting, delay, delay)
        .does(valve.to("closing"));
    m.change("valve shut")
        .by(Cause.EQUIPMENT)
        .when(valve.is("closing"))
        .between(closing, travel.least(), travel.most())
        .does(valve.to("shut"));
    m.change("pump at rest")
        .by(Cause.EQUIPMENT)
        .when(pump.is("coasting"))
        .between(coasting, coast.least(), coast.most())
        .does(pump.to("at rest"));
    Expr both = Expr.all(pump.is("coasting"), valve.is("shut"));
    m.hazard("overlap", both);
    m.hazard("touch", touched.on())
        .remembering(touched.to(choose(both, value(1), touched.read())));
    return m.build();
  }

  /**
   * People cross a bridge in the dark with one torch, so many at a time, at the pace of the slowest.
   * Claim "in time" asks for all across after no more than the limit.
   */
  static Model bridge(int atOnce, int limit, int... minutes) {
    var m = new ModelBuilder("bridge within " + limit).powered(Expr.FALSE);
    List<Var> people = new ArrayList<>();
    List<Expr> across = new ArrayList<>();
    for (int i = 0; i < minutes.length; i++) {
      Var person = m.variable("person " + i, Role.PROCESS, "here", "there");
      people.add(person);
      across.add(person.is("there"));
    }
    Var torch = m.variable("torch", Role.PROCESS, "here", "there");
    List<Integer> paces = java.util.Arrays.stream(minutes).distinct().boxed().toList();
    // 0: nobody is on the bridge; otherwise how fast they walk.
    Var walking = m.number("walking", Role.PROCESS, paces.size() + 1);
    Var done = m.bit("in time", Role.PROCESS);
    for (int group = 1; group < 1 << minutes.length; group++) {
      if (Integer.bitCount(group) <= atOnce) {
        setOff(m, people, torch, walking, group, paces, minutes);
      }
    }
    for (int p = 0; p < paces.size(); p++) {
      Watch walk = m.clock("walk at " + paces.get(p), walking.is(p + 1)).limit(paces.get(p));
      m.change("arrive")
          .when(walking.is(p + 1))
          .between(walk, paces.get(p), paces.get(p))
          .does(walking.to(0));
    }
    Watch since = m.clock("since the start", done.off());
    m.change("all across")
        .when(Expr.all(done.off(), walking.is(0), Expr.all(across)))
        .between(since, 0, limit)
        .does(done.to(1));
    m.can("in time", done.on());
    return m.build();
  }

  /** A group leaves for the other side with the torch. */
  private static void setOff(
      ModelBuilder m,
      List<Var> people,
      Var torch,
      Var walking,
      int group,
      List<Integer> paces,
      int[] minutes) {
    for (String from : List.of("here", "there")) {
      String to = from.equals("here") ? "there" : "here";
      List<Expr> guard = new ArrayList<>(List.of(walking.is(0), torch.is(from)));
      var change = m.change("group " + group + " sets off");
      int slowest = 0;
      for (int i = 0; i < minutes.length; i++) {
        if ((group >> i & 1) == 1) {
          guard.add(people.get(i).is(from));
          change.does(people.get(i).to(to));
          slowest = Math.max(slowest, minutes[i]);
        }
      }
      change
          .when(Expr.all(guard))
          .does(torch.to(to), walking.to(paces.indexOf(slowest) + 1));
    }
  }
}
