package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.resolve.ResolvedPlant.Driven;
import stoplog.dsl.tree.Declaration;

/** What of the process moves a piece of equipment: conditions over the truth. */
final class DriveResolver {
  private final TermResolver terms;

  DriveResolver(TermResolver terms) {
    this.terms = terms;
  }

  /** One for each drive of its kind that the plant states, in the order written. */
  List<Driven> of(Declaration.Equipment declared, Symbol.Equipment equipment) {
    var driven = new ArrayList<Driven>();
    for (Declaration.Member m : declared.members()) {
      if (m instanceof Declaration.Driven d) {
        Term when = terms.resolve(d.when(), View.PROCESS);
        List<String> names = equipment.kind().drives().stream().map(Kind.Drive::name).toList();
        int drive = names.indexOf(d.name().text());
        if (drive >= 0) {
          driven.add(new Driven(equipment, drive, when, d.span()));
        }
      }
    }
    return driven;
  }
}
