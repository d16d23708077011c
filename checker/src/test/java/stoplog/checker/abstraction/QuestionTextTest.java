package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;

import java.util.Arrays;
import java.util.BitSet;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;

/** Everything that a search sees makes another text; what it does not see makes none. */
final class QuestionTextTest {
  /** A plant to change in one place. */
  private static final class Plant {
    int initial = 1;
    long limit = 8;
    long earliest = 4;
    boolean closed = true;
    long reaction = 3;
    int coincident = 1;
    long longer = 5;
    int faults = 1;
    Expr guard = Expr.TRUE;
    boolean inputAssignedBefore;
    boolean inputReadBefore;
    boolean inputAssignedBetween;
    boolean otherInput;
    boolean noElsewhere;
    boolean fault = true;
    boolean extraChange;
    boolean pumpRead = true;
    int hiddenSize = 3;
    boolean monitorTurned;
    boolean startTurned;
    boolean reactionTurned;
    boolean strange;
    boolean lateCopied;

    Model build() {
      var m = new ModelBuilder("plant");
      Var valve = m.equipment("valve", "closed", "opening", "open").starts(initial == 1 ? new int[] {0} : new int[] {0, 2});
      Var command = m.bit("command", Role.COMMAND);
      Var input = m.number("input", Role.PROCESS, hiddenSize);
      Var second = m.number("second", Role.PROCESS, 3);
      Var power = m.bit("power", Role.POWER).starts(1);
      Var stranger = m.bit("stranger", Role.MEMORY);
      Var late = m.monitor("late");
      var travel =
          m.clock("travel", valve.is("opening"))
              .limit(closed ? Bound.at(limit) : new Bound(limit, false));
      m.change("valve open")
          .between(travel, earliest, limit)
          .when(guard)
          .does(valve.to("open"), stranger.to(lateCopied ? late.read() : value(0)));
      var stuck = m.change("stuck").does(valve.to("closed"));
      if (fault) {
        stuck.by(FieldChange.Cause.FAULT);
      }
      if (extraChange) {
        m.change("more").does(valve.to("closed"));
      }
      if (!noElsewhere) {
        m.change("input changes").does(input.to(choose(input.is(0), value(1), value(0))));
      }
      m.change("stranger changes").does(stranger.to(strange ? 0 : 1));
      m.powered(power.on());
      m.reactsWithin(reaction).coincident(coincident);
      if (inputAssignedBefore) {
        m.scans(input.to(1));
      }
      if (inputReadBefore) {
        m.scans(power.to(input.is(1)));
      }
      if (inputAssignedBetween) {
        m.scans(input.to(1));
      }
      m.scans(command.to(any((otherInput ? second : input).is(1), all(command.on(), pumpRead ? power.on() : Expr.TRUE))));
      m.start(command.to(startTurned ? 1 : 0));
      m.reactions(
          valve.to(
              choose(all(command.on(), valve.is("closed")), value(reactionTurned ? 2 : 1), valve.read())));
      var hazard =
          m.hazard("H-1", all(valve.is("open"), late.off())).longerThan(longer).tolerating(faults);
      hazard.remembering(late.to(monitorTurned ? valve.is("open") : valve.is("closed")));
      return m.build();
    }

    String text(String... keeps) {
      Model model = build();
      BitSet kept = new BitSet();
      for (String name : keeps) {
        kept.set(model.variable(name).id());
      }
      Claim claim = model.claim("H-1");
      return QuestionText.of(new Reads(model), claim, new Kept(kept, true));
    }
  }

  private static String text(Consumer<Plant> change) {
    var plant = new Plant();
    change.accept(plant);
    return plant.text("valve", "command", "power", "late");
  }

  @Test
  void eachThingTheSearchSeesIsTold() {
    List<Consumer<Plant>> changes =
        List.of(
            p -> {},
            p -> p.initial = 2,
            p -> p.limit = 9,
            p -> p.earliest = 3,
            p -> p.closed = false,
            p -> p.reaction = 2,
            p -> p.coincident = 2,
            p -> p.longer = 6,
            p -> p.faults = 2,
            p -> p.guard = Expr.is(1, 1),
            p -> p.inputReadBefore = true,
            p -> p.inputReadBefore = p.inputAssignedBetween = true,
            p -> p.otherInput = true,
            p -> p.fault = false,
            p -> p.extraChange = true,
            p -> p.pumpRead = false,
            p -> p.hiddenSize = 4,
            p -> p.monitorTurned = true,
            p -> p.startTurned = true,
            p -> p.reactionTurned = true,
            p -> p.lateCopied = true);
    Set<String> texts = new HashSet<>();
    for (int i = 0; i < changes.size(); i++) {
      assertEquals(i, texts.size());
      texts.add(text(changes.get(i)));
    }
    assertEquals(changes.size(), texts.size());
  }

  @Test
  void whatTheSearchDoesNotSeeIsNotTold() {
    assertEquals(text(_ -> {}), text(p -> p.strange = true));
  }

  /** One unknown value is as good as another, unless both are read. */
  @Test
  void whatIsHiddenMayBeAnotherSooner() {
    assertEquals(text(_ -> {}), text(p -> p.inputAssignedBefore = true));
    assertEquals(
        text(p -> p.inputReadBefore = true),
        text(p -> p.inputReadBefore = p.inputAssignedBefore = true));
  }

  /** Where one step reads something hidden, and when it becomes another. */
  private enum Order {
    NEVER,
    BEFORE,
    AFTER
  }

  /** Which step that is, beside which of its parts also reads it. */
  private enum Place {
    CHANGE_WITH_GUARD,
    CHANGE_WITH_REACTION,
    SCAN_WITH_REACTION,
    SCAN_WITH_LATCH,
    START_WITH_REACTION,
    REACTIONS_WITH_MONITOR,
    REACTIONS_WITH_PROGRAM
  }

  private static String text(Place place, Order order) {
    var m = new ModelBuilder("plant").reactsWithin(3);
    Var hidden = m.bit("hidden", Role.MEMORY);
    Var first = m.bit("first", Role.MEMORY);
    Var second = m.bit("second", Role.EQUIPMENT);
    Var late = m.monitor("late");
    Assignment reading = first.to(hidden.read());
    Assignment[] ordered =
        switch (order) {
          case NEVER -> new Assignment[] {reading};
          case BEFORE -> new Assignment[] {hidden.to(1), reading};
          case AFTER -> new Assignment[] {reading, hidden.to(1)};
        };
    var remembered = late.to(first.read());
    switch (place) {
      case CHANGE_WITH_GUARD -> m.change("hit").when(hidden.on()).does(ordered);
      case CHANGE_WITH_REACTION -> {
        m.change("hit").does(ordered);
        m.reactions(second.to(hidden.read()));
      }
      case SCAN_WITH_REACTION -> m.scans(ordered).reactions(second.to(hidden.read()));
      case SCAN_WITH_LATCH -> {
        m.scans(ordered);
        remembered = late.to(any(hidden.on(), all(late.read(), Expr.not(second.on()))));
      }
      case START_WITH_REACTION -> m.start(ordered).reactions(second.to(hidden.read()));
      case REACTIONS_WITH_MONITOR -> {
        m.reactions(ordered);
        remembered = late.to(hidden.read());
      }
      case REACTIONS_WITH_PROGRAM -> m.scans(second.to(hidden.read())).reactions(ordered);
    }
    m.hazard("H-1", all(first.on(), second.on(), late.on())).remembering(remembered);
    Model model = m.build();
    BitSet kept = new BitSet();
    kept.set(first.id());
    kept.set(second.id());
    kept.set(late.id());
    return QuestionText.of(new Reads(model), model.claim("H-1"), new Kept(kept, true));
  }

  /** Two unknown values where there was one: where the step reads both, that is told. */
  @Test
  void whereSomethingHiddenBecomesAnotherIsTold() {
    for (Place place : Place.values()) {
      boolean readBefore =
          switch (place) {
            case CHANGE_WITH_GUARD, SCAN_WITH_LATCH, REACTIONS_WITH_PROGRAM -> true;
            case CHANGE_WITH_REACTION, SCAN_WITH_REACTION, START_WITH_REACTION -> false;
            // Of reactions it is not looked up what steps have read before.
            case REACTIONS_WITH_MONITOR -> true;
          };
      boolean readAfter = place != Place.CHANGE_WITH_GUARD && place != Place.REACTIONS_WITH_PROGRAM;
      String never = text(place, Order.NEVER);
      assertEquals(readBefore, !never.equals(text(place, Order.BEFORE)), place + ", before");
      assertEquals(readAfter, !never.equals(text(place, Order.AFTER)), place + ", after");
    }
  }

  @Test
  void whatIsKeptIsTold() {
    var plant = new Plant();
    assertNotEquals(
        plant.text("valve", "command", "power", "late"), plant.text("valve", "power", "late"));
  }

  private static String text(Consumer<Plant> change, int atLeast, long values) {
    var plant = new Plant();
    change.accept(plant);
    Model model = plant.build();
    BitSet kept = new BitSet();
    for (String name : List.of("valve", "command", "power", "late")) {
      kept.set(model.variable(name).id());
    }
    var group =
        new Group(
            atLeast,
            List.of(
                new Group.Member(model.variable("input").id(), values),
                new Group.Member(model.variable("stranger").id(), 2)));
    return QuestionText.of(
        new Reads(model), model.claim("H-1"), new Kept(kept, true, List.of(group)));
  }

  /** What a group is about is followed through the steps, so all that moves it is told. */
  @Test
  void groupsAndWhatMovesTheirMembersAreTold() {
    Set<String> texts =
        Set.of(
            text(_ -> {}),
            text(_ -> {}, 1, 2),
            text(_ -> {}, 2, 2),
            text(_ -> {}, 1, 4),
            text(p -> p.strange = true, 1, 2),
            text(p -> p.noElsewhere = true, 1, 2),
            text(p -> p.hiddenSize = 4, 1, 2),
            text(p -> p.inputAssignedBefore = true, 1, 2));
    assertEquals(8, texts.size());
  }

  /** If a search keeps more kinds of things than these, the text has to tell of them too. */
  @Test
  void keptIsMadeOfWhatTheTextTells() {
    assertEquals(
        List.of("variables", "due", "groups"),
        Arrays.stream(Kept.class.getRecordComponents()).map(c -> c.getName()).toList());
  }
}
