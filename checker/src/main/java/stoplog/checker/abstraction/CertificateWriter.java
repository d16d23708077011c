package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.Fingerprint;
import stoplog.checker.explore.Search;
import stoplog.checker.zone.Zones;
import stoplog.model.Claim;
import stoplog.model.Model;

/** Writes down what an exhausted search has kept, as a certificate. */
final class CertificateWriter {
  private CertificateWriter() {}

  static Certificate of(Model model, Claim claim, KeptSystem system, Search search) {
    BitSet follows = (BitSet) system.kept().variables().clone();
    var keeps = new ArrayList<String>();
    int variables = model.variables().size();
    // Groups are numbered after the variables; all that are kept are stored, in their order.
    int[] stored = Arrays.stream(system.stored()).filter(v -> v < variables).toArray();
    for (int v : stored) {
      keeps.add(model.variable(v).name());
      follows.clear(v);
    }
    int groups = system.kept().groups().size();
    var states = new ArrayList<Certificate.State>();
    search.visit(
        (state, running, zone) -> {
          var values = new ArrayList<Integer>();
          for (int v : stored) {
            values.add(system.valueIn(state, v));
          }
          var told = new ArrayList<Boolean>();
          for (int g = 0; g < groups; g++) {
            told.add(system.valueIn(state, variables + g) == 1);
          }
          states.add(
              new Certificate.State(
                  values,
                  told,
                  system.dueIn(state),
                  system.faultsIn(state),
                  bounds(system, running, zone)));
        });
    return new Certificate(
        model.name(),
        Fingerprint.of(model),
        claim.id(),
        keeps,
        follows.stream().mapToObj(v -> model.variable(v).name()).toList(),
        system.kept().groups().stream().map(g -> g.named(model)).toList(),
        system.kept().due(),
        states);
  }

  static List<Certificate.Bound> bounds(KeptSystem system, int[] running, int[] zone) {
    var bounds = new ArrayList<Certificate.Bound>();
    int dimension = running.length + 1;
    for (int i = 0; i < dimension; i++) {
      for (int j = 0; j < dimension; j++) {
        int b = zone[i * dimension + j];
        boolean trivial = i == j || b == Zones.INFINITE || (i == 0 && b == Zones.ZERO);
        if (!trivial) {
          bounds.add(
              new Certificate.Bound(
                  name(system, running, i), name(system, running, j), b >> 1, (b & 1) == 1));
        }
      }
    }
    return bounds;
  }

  private static String name(KeptSystem system, int[] running, int index) {
    return index == 0 ? Certificate.Bound.ZERO : system.clockName(running[index - 1]);
  }
}
