package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import stoplog.dsl.resolve.Keeping;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * Memories, counters, duties and alarms: one variable each, assigned at the place of its statement.
 * All but those that are {@code retained} begin anew after a power failure; alarms always do.
 */
final class KeptLowering {
  private static final int NORMAL = 0;
  private static final int UNACKNOWLEDGED = 1;
  private static final int ACKNOWLEDGED = 2;
  private static final int RETURNED = 3;
  private static final int LATCHED = 4;

  private final Parts parts;
  private final Meanings meanings;
  private final TermMemory memory;
  private final Set<Integer> retained = new HashSet<>();

  KeptLowering(Parts parts, Meanings meanings, TermMemory memory) {
    this.parts = parts;
    this.meanings = meanings;
    this.memory = memory;
  }

  /** Variables that keep their value without power. */
  Set<Integer> retained() {
    return retained;
  }

  /** The variables of a statement, so that a statement above may read them. */
  void declare(Keeping statement) {
    switch (statement) {
      case Keeping.Hold h -> {
        Symbol.Memory m = h.memory();
        variable(m, m.values(), m.starts(), m.retained(), h.span());
      }
      case Keeping.Assign a -> {}
      case Keeping.Count c -> {
        var numbers = new ArrayList<String>();
        for (int n = 0; n <= c.counter().to(); n++) {
          numbers.add(Integer.toString(n));
        }
        variable(c.counter(), numbers, 0, c.counter().retained(), c.span());
      }
      case Keeping.Alternate a -> {
        var tags = new ArrayList<String>();
        a.equipment().forEach(e -> tags.add(e.name().text()));
        variable(a.duty(), tags, 0, a.duty().retained(), a.span());
      }
      case Keeping.Alarms a -> alarms(a);
    }
  }

  private void alarms(Keeping.Alarms a) {
    for (Keeping.Watched w : a.alarms()) {
      int states = w.alarm().latched() ? LATCHED + 1 : LATCHED;
      variable(w.alarm(), Keeping.ALARM_STATES.subList(0, states), NORMAL, false, a.span());
    }
    Symbol.AlarmGroup group = a.group();
    if (group != null && group.firstOut()) {
      var tags = new ArrayList<>(List.of("none"));
      a.alarms().forEach(w -> tags.add(w.alarm().name().text()));
      String name = Keeping.firstOf(group.name());
      String text = "first alarm of " + group.name();
      int id = parts.variable(name, Role.MEMORY, tags, 1, text, a.span());
      meanings.valued(name, id);
    }
  }

  private void variable(
      Symbol.Kept symbol, List<String> values, int starts, boolean keeps, Span at) {
    String name = symbol.name().text();
    int id = parts.variable(name, Role.MEMORY, values, 1L << starts, symbol.text(), at);
    meanings.valued(name, id);
    if (keeps) {
      retained.add(id);
    }
  }

  void lower(Keeping statement) {
    switch (statement) {
      case Keeping.Hold h -> {}
      case Keeping.Assign a -> {
        Term when = a.when();
        assign(a, when == null ? Expr.TRUE : memory.of(when, a.memory().name().text()));
      }
      case Keeping.Count c -> count(c);
      case Keeping.Alternate a -> alternate(a);
      case Keeping.Alarms a -> watch(a);
    }
  }

  /**
   * Gives a memory its value here in the program where {@code when} holds, which stands for the
   * condition of the assignment itself.
   */
  void assign(Keeping.Assign a, Expr when) {
    int target = meanings.valuedOf(a.memory().name().text());
    Expr value = value(a.value(), a.memory().values().size());
    if (!when.equals(Expr.TRUE)) {
      value = new Expr.Choose(when, value, new Expr.Read(target));
    }
    parts.program.add(new Assignment(target, value, a.span()));
  }

  /**
   * @param size how many values the memory has
   */
  private Expr value(Keeping.Value value, int size) {
    String source = value.source();
    if (source == null) {
      return new Expr.Constant(value.index());
    }
    int from = meanings.valuedOf(source);
    int sourceSize = parts.variables.get(from).size();
    return shifted(from, sourceSize, value.index(), size - 1);
  }

  /**
   * A variable's value and so much more, but no less than 0 and no more than {@code last}: a sum
   * outside is never formed.
   */
  private static Expr shifted(int variable, int size, int by, int last) {
    long below = 0;
    long beyond = 0;
    for (int v = 0; v < size; v++) {
      below |= v + by < 0 ? 1L << v : 0;
      beyond |= v + by > last ? 1L << v : 0;
    }
    Expr read = new Expr.Read(variable);
    Expr sum = by == 0 ? read : new Expr.Shift(read, by);
    return within(read, below, 0, within(read, beyond, last, sum));
  }

  private static Expr within(Expr read, long outside, int bound, Expr sum) {
    return outside == 0
        ? sum
        : new Expr.Choose(new Expr.In(read, outside), new Expr.Constant(bound), sum);
  }

  /**
   * An up-down counter as the standard function block CTUD of IEC 61131-3: clearing wins, and two
   * edges in one scan cancel. It stays within its bounds.
   */
  private void count(Keeping.Count c) {
    String name = c.counter().name().text();
    int counter = meanings.valuedOf(name);
    int to = c.counter().to();
    Expr up = memory.of(c.up(), name);
    Expr down = c.down() == null ? Expr.FALSE : memory.of(c.down(), name);
    Expr cleared = memory.of(c.clearedBy(), name);
    Expr stays = new Expr.Read(counter);
    Expr fewer = new Expr.Choose(down, shifted(counter, to + 1, -1, to), stays);
    Expr more = new Expr.Choose(down, stays, shifted(counter, to + 1, 1, to));
    Expr counted =
        down.equals(Expr.FALSE)
            ? new Expr.Choose(up, shifted(counter, to + 1, 1, to), stays)
            : new Expr.Choose(up, more, fewer);
    Expr value = new Expr.Choose(cleared, new Expr.Constant(0), counted);
    parts.program.add(new Assignment(counter, value, c.span()));
  }

  /**
   * The turn passes to the next on the rising edge, and from one that is tripped to the next that
   * is not; if all are tripped it stays where it is. Quadratic in the number of those that take
   * turns.
   */
  private void alternate(Keeping.Alternate a) {
    String name = a.duty().name().text();
    int duty = meanings.valuedOf(name);
    Expr edge = memory.of(a.when(), name);
    int size = a.equipment().size();
    Expr turn = new Expr.Read(duty);
    Expr next =
        new Expr.Choose(
            Expr.is(duty, size - 1), new Expr.Constant(0), new Expr.Shift(turn, 1));
    parts.program.add(new Assignment(duty, new Expr.Choose(edge, next, turn), a.span()));
    var tripped = new ArrayList<Expr>();
    for (Symbol.Equipment e : a.equipment()) {
      tripped.add(meanings.of(new Term.Tripped(e, a.span())));
    }
    if (tripped.stream().allMatch(t -> t.equals(Expr.FALSE))) {
      return;
    }
    Expr settled = turn;
    for (int on = size - 1; on >= 0; on--) {
      Expr able = new Expr.Constant(on);
      for (int step = size - 1; step >= 0; step--) {
        int candidate = (on + step) % size;
        able =
            new Expr.Choose(tripped.get(candidate), able, new Expr.Constant(candidate));
      }
      settled = new Expr.Choose(Expr.is(duty, on), able, settled);
    }
    parts.program.add(new Assignment(duty, settled, a.span()));
  }

  private void watch(Keeping.Alarms a) {
    String owner =
        a.group() != null
            ? a.group().name().text()
            : a.alarms().getFirst().alarm().name().text();
    Expr acknowledged = memory.of(a.acknowledgedBy(), owner);
    Term resetBy = a.resetBy();
    Expr reset = resetBy == null ? Expr.FALSE : memory.of(resetBy, owner);
    for (Keeping.Watched w : a.alarms()) {
      Symbol.Alarm alarm = w.alarm();
      int state = meanings.valuedOf(alarm.name().text());
      Expr condition = memory.of(w.condition(), alarm.name().text());
      Expr value = alarm(state, alarm.latched(), condition, acknowledged, reset);
      parts.program.add(new Assignment(state, value, a.span()));
    }
    if (a.group() != null && a.group().firstOut()) {
      firstOut(a, a.group());
    }
  }

  /**
   * The next state of an alarm, after ANSI/ISA-18.2. What is acknowledged or reset is what stood
   * before this scan: an alarm that comes in the scan that sees the button is not acknowledged by
   * it.
   */
  private static Expr alarm(
      int state, boolean latched, Expr condition, Expr acknowledged, Expr reset) {
    Expr known =
        Expr.any(
            Expr.is(state, ACKNOWLEDGED), Expr.all(Expr.is(state, UNACKNOWLEDGED), acknowledged));
    Expr present =
        new Expr.Choose(
            known, new Expr.Constant(ACKNOWLEDGED), new Expr.Constant(UNACKNOWLEDGED));
    Expr unknown =
        Expr.all(
            Meanings.in(state, 1L << UNACKNOWLEDGED | 1L << RETURNED), Expr.not(acknowledged));
    Expr quiet = new Expr.Constant(NORMAL);
    if (latched) {
      Expr done =
          Expr.any(Expr.is(state, NORMAL), Expr.all(Expr.is(state, LATCHED), reset));
      quiet = new Expr.Choose(done, quiet, new Expr.Constant(LATCHED));
    }
    Expr absent = new Expr.Choose(unknown, new Expr.Constant(RETURNED), quiet);
    return new Expr.Choose(condition, present, absent);
  }

  /**
   * The alarm that came first since all were last normal; of several in one scan the one written
   * first.
   */
  private void firstOut(Keeping.Alarms a, Symbol.AlarmGroup group) {
    int first = meanings.valuedOf(Keeping.firstOf(group.name()));
    var standing = new ArrayList<Expr>();
    Expr earliest = new Expr.Constant(0);
    for (int i = a.alarms().size() - 1; i >= 0; i--) {
      int state = meanings.valuedOf(a.alarms().get(i).alarm().name().text());
      Expr stands = Expr.not(Expr.is(state, NORMAL));
      standing.add(stands);
      earliest = new Expr.Choose(stands, new Expr.Constant(i + 1), earliest);
    }
    Expr kept =
        Expr.all(Expr.not(Expr.is(first, 0)), Expr.any(standing));
    Expr value = new Expr.Choose(kept, new Expr.Read(first), earliest);
    parts.program.add(new Assignment(first, value, a.span()));
  }
}
