package stoplog.plants.outside;

import java.util.ArrayList;
import java.util.List;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * A job shop counted in whole units of time, without clocks.
 *
 * <p>All times are whole, and of the schedules that are done in time one begins each operation at the start
 * or in the instant in which another ends: whatever else begins later than it might can be put forward. So an
 * operation begins only while nothing but beginnings has happened since one ended, and time goes on by one.
 *
 * <p>Time does not go on where it is too late: where a job needs longer than is left, or a machine does, with
 * the least that the jobs need on the way to it and from it. Both are told from the definition alone.
 */
final class ShopInUnits {
  /** Of the ways to and from a machine so much is counted: sums stay within a variable's 64 values. */
  private static final int MOST_OF_A_WAY = 9;

  private final int[][][] jobs;
  private final int limit;
  private final ModelBuilder m;
  private final List<Var> places = new ArrayList<>();

  /** What a job at this place of its course stands at: operations begun, and units done of the last. */
  private record Place(int operation, int done) {
    boolean waits() {
      return done == 0;
    }
  }

  private final List<List<Place>> courses = new ArrayList<>();

  private ShopInUnits(int[][][] jobs, int limit) {
    this.jobs = jobs;
    this.limit = limit;
    this.m =
        new ModelBuilder(jobs.length + " jobs in units within " + limit).powered(Expr.FALSE);
  }

  /** With the claim {@code in time}; machine and time of each operation of each job. */
  static Model model(int[][][] jobs, int limit) {
    return new ShopInUnits(jobs, limit).model();
  }

  private Model model() {
    Var time = m.number("time", Role.PROCESS, limit + 1);
    Var ended = m.bit("an operation has ended", Role.PROCESS).starts(1);
    for (int j = 0; j < jobs.length; j++) {
      courses.add(course(jobs[j]));
      places.add(m.number("job " + j, Role.PROCESS, courses.get(j).size()));
    }
    var finished = new ArrayList<Expr>();
    var works = new ArrayList<Expr>();
    var ends = new ArrayList<Expr>();
    var moves = new ArrayList<Assignment>();
    for (int j = 0; j < jobs.length; j++) {
      int job = j;
      Var place = places.get(j);
      finished.add(place.is(courses.get(j).size() - 1));
      works.add(at(j, p -> !p.waits()));
      ends.add(at(j, p -> !p.waits() && p.done() == jobs[job][p.operation()][1]));
      moves.add(place.to(ModelBuilder.choose(works.get(j), ModelBuilder.shift(place.read(), 1), place.read())));
      for (int k = 0; k < jobs[j].length; k++) {
        begins(j, k, time, ended);
      }
    }
    var all = new ArrayList<Assignment>(List.of(ended.to(Expr.any(ends))));
    all.addAll(moves);
    all.add(time.to(ModelBuilder.shift(time.read(), 1)));
    m.change("time goes on")
        .when(Expr.all(Expr.any(works), Expr.not(time.is(limit)), Expr.not(late(time))))
        .does(all.toArray(Assignment[]::new));
    m.can("in time", Expr.all(finished));
    return m.build();
  }

  /**
   * Waiting for an operation, then in its first unit of time, its second, and so on; finished at the end.
   * A place in an operation is left when that unit is over.
   */
  private static List<Place> course(int[][] job) {
    var course = new ArrayList<Place>();
    for (int k = 0; k < job.length; k++) {
      for (int unit = 0; unit <= job[k][1]; unit++) {
        course.add(new Place(k, unit));
      }
    }
    course.add(new Place(job.length, 0));
    return course;
  }

  private void begins(int job, int operation, Var time, Var ended) {
    int machine = jobs[job][operation][0];
    var guard = new ArrayList<Expr>(List.of(ended.on()));
    guard.add(at(job, p -> p.waits() && p.operation() == operation));
    for (int other = 0; other < jobs.length; other++) {
      int[][] its = jobs[other];
      if (other != job) {
        guard.add(Expr.not(at(other, p -> !p.waits() && its[p.operation()][0] == machine)));
      }
    }
    Var place = places.get(job);
    m.change("job " + job + " begins on machine " + machine)
        .when(Expr.all(guard))
        .does(place.to(ModelBuilder.shift(place.read(), 1)));
  }

  // ---- too late

  private Expr late(Var time) {
    var needs = new ArrayList<Expr>();
    for (int machine : machines()) {
      needs.add(need(machine));
    }
    var late = new ArrayList<Expr>();
    for (int t = 0; t <= limit; t++) {
      int left = limit - t;
      var some = new ArrayList<Expr>();
      for (int j = 0; j < jobs.length; j++) {
        int[][] job = jobs[j];
        // Where it waits it does so for another unit at least.
        some.add(at(j, p -> remaining(job, p) + (p.waits() && p.operation() < job.length ? 1 : 0) > left));
      }
      for (Expr need : needs) {
        some.add(new Expr.In(need, left >= 63 ? 0 : -1L << (left + 1)));
      }
      late.add(Expr.all(time.is(t), Expr.any(some)));
    }
    return m.definition("too late", Expr.any(late));
  }

  private List<Integer> machines() {
    var machines = new ArrayList<Integer>();
    for (int[] operation : jobs[0]) {
      machines.add(operation[0]);
    }
    return machines;
  }

  /** What a machine needs at least until all jobs that are yet to pass it are finished. */
  private Expr need(int machine) {
    Expr need = ModelBuilder.value(0);
    var ahead = new ArrayList<Expr>();
    for (int j = 0; j < jobs.length; j++) {
      int[][] job = jobs[j];
      int on = operationOn(job, machine);
      ahead.add(at(j, p -> p.operation() <= on && work(job, p, on) > 0));
      for (int units = 1; units <= job[on][1]; units++) {
        int least = units;
        need = add(at(j, p -> p.operation() <= on && work(job, p, on) >= least), need, machine);
      }
    }
    for (int units = 1; units <= MOST_OF_A_WAY; units++) {
      int least = units;
      var to = new ArrayList<Expr>(List.of(Expr.any(ahead)));
      var from = new ArrayList<Expr>(List.of(Expr.any(ahead)));
      for (int j = 0; j < jobs.length; j++) {
        int[][] job = jobs[j];
        int on = operationOn(job, machine);
        Expr past = Expr.not(ahead.get(j));
        to.add(Expr.any(past, at(j, p -> p.operation() <= on && way(job, p, on) >= least)));
        from.add(Expr.any(past, tail(job, on) >= least ? Expr.TRUE : Expr.FALSE));
      }
      need = add(Expr.all(to), need, machine);
      need = add(Expr.all(from), need, machine);
    }
    return need;
  }

  private int sums;

  private Expr add(Expr one, Expr sum, int machine) {
    return m.definition(
        "need of machine " + machine + " " + ++sums,
        ModelBuilder.choose(one, ModelBuilder.shift(sum, 1), sum));
  }

  private static int operationOn(int[][] job, int machine) {
    for (int k = 0; k < job.length; k++) {
      if (job[k][0] == machine) {
        return k;
      }
    }
    throw new IllegalArgumentException("a job passes by machine " + machine);
  }

  /** Units left of one operation. */
  private static int work(int[][] job, Place p, int operation) {
    return p.operation() == operation ? left(job, p) : job[operation][1];
  }

  /** Units left of the operation that the job waits for or is in. */
  private static int left(int[][] job, Place p) {
    return p.operation() == job.length ? 0 : job[p.operation()][1] - Math.max(0, p.done() - 1);
  }

  /** Units until it can begin this operation. */
  private static int way(int[][] job, Place p, int operation) {
    int units = p.operation() == operation ? 0 : left(job, p);
    for (int k = p.operation() + 1; k < operation; k++) {
      units += job[k][1];
    }
    return units;
  }

  private static int tail(int[][] job, int operation) {
    int units = 0;
    for (int k = operation + 1; k < job.length; k++) {
      units += job[k][1];
    }
    return units;
  }

  private static int remaining(int[][] job, Place p) {
    return left(job, p) + tail(job, p.operation());
  }

  private interface Where {
    boolean is(Place p);
  }

  /** Whether a job is at a place of this sort. */
  private Expr at(int job, Where where) {
    long set = 0;
    for (int i = 0; i < courses.get(job).size(); i++) {
      set |= where.is(courses.get(job).get(i)) ? 1L << i : 0;
    }
    return new Expr.In(places.get(job).read(), set);
  }
}
