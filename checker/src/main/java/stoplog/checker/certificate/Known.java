package stoplog.checker.certificate;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Map;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Untouched;

/** What a certificate keeps of a plant, by index. */
final class Known {
  final Model model;

  /** The variables whose values its states give. */
  final List<Integer> kept = new ArrayList<>();

  /** What stays known when it is assigned within a step: the kept ones and members of groups too. */
  final BitSet exact = new BitSet();

  /** What no step changes: as well known as what is kept. */
  final BitSet constants;

  final List<Group> groups = new ArrayList<>();

  /** At least so many members hold. */
  record Group(int atLeast, List<Member> members) {}

  /** A variable has one of these values. */
  record Member(int variable, long values) {}

  Known(Model model, Claim claim, Certificate certificate) {
    this.model = model;
    this.constants = Untouched.by(model, claim);
    Map<String, Integer> index = model.indexByName();
    for (String name : certificate.keeps()) {
      Refused.unless(kept.add(find(index, name)) && !exact.get(kept.getLast()), name + " is kept twice");
      exact.set(kept.getLast());
    }
    certificate.follows().forEach(name -> exact.set(find(index, name)));
    for (Certificate.Group g : certificate.groups()) {
      var members = new ArrayList<Member>();
      for (Certificate.Member m : g.members()) {
        members.add(new Member(find(index, m.variable()), m.values()));
        exact.set(members.getLast().variable());
      }
      groups.add(new Group(g.atLeast(), members));
    }
    exact.or(constants);
    for (Assignment m : claim.monitors()) {
      Refused.unless(kept.contains(m.variable()), "it does not keep what the claim remembers");
    }
  }

  /** The variables that an expression reads. A fresh set. */
  BitSet reads(Expr e) {
    return Expr.variables(e, model.definitions());
  }

  private static int find(Map<String, Integer> index, String name) {
    Integer id = index.get(name);
    Refused.unless(id != null, "the plant has no variable " + name);
    return id == null ? -1 : id;
  }

  /** What a state of the certificate tells: the kept values, then 1 or 0 for each group. */
  static List<Integer> told(Certificate.State s) {
    var told = new ArrayList<>(s.values());
    s.groups().forEach(g -> told.add(g ? 1 : 0));
    return told;
  }
}
