package stoplog.checker.certificate;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Watches.Watch;
import stoplog.model.Bound;
import stoplog.model.Claim;

/** The states of a certificate, in its order; none of them breaks the claim. */
final class StateSet {
  private final Known known;
  private final Map<List<Integer>, List<Place>> places = new LinkedHashMap<>();

  /** The states with the same values and counts. */
  record Place(int due, int faults, List<Watch> running, List<PlainZone> zones) {}

  /** The values of the states; their bounds are {@link #read} once it is known which clocks run. */
  StateSet(Known known, Certificate certificate) {
    this.known = known;
    for (Certificate.State s : certificate.states()) {
      Refused.unless(
          s.values().size() == known.kept.size() && s.groups().size() == known.groups.size(),
          "a state gives too few or too many values");
      for (int i = 0; i < known.kept.size(); i++) {
        int value = s.values().get(i);
        Refused.unless(
            value >= 0 && value < known.model.variable(known.kept.get(i)).size(),
            "a state gives " + certificate.keeps().get(i) + " a value it cannot have");
      }
      places.put(Known.told(s), new ArrayList<>());
    }
  }

  /** What the states tell. */
  Set<List<Integer>> told() {
    return places.keySet();
  }

  /** The states that tell this. */
  List<Place> at(List<Integer> told) {
    return places.getOrDefault(told, List.of());
  }

  void read(Certificate.State s, Claim claim, Watches watches) {
    List<Integer> told = Known.told(s);
    List<Watch> running = watches.running(told, s.due());
    PlainZone zone = PlainZone.any(running.size());
    for (Certificate.Bound b : s.bounds()) {
      // Sums of larger numbers would overflow.
      Refused.unless(
          Math.abs(b.quanta() / 2) <= Bound.MAX_QUANTA, "it has a bound beyond any time of a plant");
      zone = zone.and(bounded(running, b.upper()), bounded(running, b.lower()), b.quanta(), b.attained());
    }
    Refused.unless(!zone.isEmpty(), "a state has bounds that contradict each other");
    int condition = Watches.place(running, Certificate.Bound.CONDITION);
    if (condition > 0) {
      PlainZone broken = zone.and(0, condition, -claim.forQuanta(), false);
      Refused.unless(broken.isEmpty(), "it holds a state that breaks the claim");
    }
    Place place = place(told, s.due(), s.faults());
    if (place == null) {
      place = new Place(s.due(), s.faults(), running, new ArrayList<>());
      places.computeIfAbsent(told, t -> new ArrayList<>()).add(place);
    }
    place.zones().add(zone);
  }

  private static int bounded(List<Watch> running, String name) {
    int found = Watches.place(running, name);
    Refused.unless(found >= 0, "a state bounds " + name + ", which does not run there");
    return found;
  }

  private @Nullable Place place(List<Integer> told, int due, int faults) {
    for (Place p : at(told)) {
      if (p.due() == due && p.faults() == faults) {
        return p;
      }
    }
    return null;
  }

  /** Lets time pass, and asks that the outcome lies in the set. */
  void demand(
      PlainZone zone, List<Watch> running, List<Integer> told, int due, int faults, String what) {
    PlainZone now =
        due > 0 && known.model.controller().reactionQuanta() == 0 ? zone : zone.later();
    for (int i = 0; i < running.size(); i++) {
      Bound limit = running.get(i).limit();
      if (limit != null) {
        now = now.and(i + 1, 0, limit.quanta(), limit.closed());
      }
    }
    if (now.isEmpty()) {
      return;
    }
    Place place = place(told, due, faults);
    for (PlainZone z : place == null ? List.<PlainZone>of() : place.zones()) {
      if (now.isWithin(z)) {
        return;
      }
    }
    throw new Refused("it is not closed: " + what + " leads out of it");
  }
}
