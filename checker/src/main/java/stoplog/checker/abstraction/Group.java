package stoplog.checker.abstraction;

import java.util.BitSet;
import java.util.Comparator;
import java.util.List;
import stoplog.checker.certificate.Certificate;
import stoplog.model.Model;

/**
 * That at least so many of several variables have one of certain values each: "any of these latches is
 * set". A search can keep whether it is so without keeping the variables.
 *
 * <p>Before a step the members have any values that make it as kept; the step reads and assigns them
 * like kept variables; after it the values they then have make it true or false. That is more than the
 * plant does only in what the members were before.
 *
 * @param atLeast from 1 to the number of members
 * @param members of different variables, ascending
 */
record Group(int atLeast, List<Member> members) {
  /**
   * That a variable has one of these values.
   *
   * @param values bit v stands for value v
   */
  record Member(int variable, long values) {}

  Group {
    members = members.stream().sorted(Comparator.comparingInt(Member::variable)).toList();
  }

  BitSet variables() {
    BitSet variables = new BitSet();
    members.forEach(m -> variables.set(m.variable()));
    return variables;
  }

  /** The same by names, for what is written down. */
  Certificate.Group named(Model model) {
    return new Certificate.Group(
        atLeast,
        members.stream()
            .map(m -> new Certificate.Member(model.variable(m.variable()).name(), m.values()))
            .toList());
  }
}
