package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Fingerprint;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Variable;
import stoplog.model.Verdict;

/**
 * Claims of one plant that read alike but for the names of things: about the same valve of each of eight
 * racks, say. What is found for one is tried on the next before that is searched for. Of one thread at a
 * time.
 */
public final class Family {
  /** How many earlier verdicts are tried, the latest first. */
  private static final int TRIED = 3;

  private final @Nullable Reads reads;
  private final List<Claim> claims = new ArrayList<>();
  private final List<Known> known = new ArrayList<>();

  private record Known(Claim claim, Precedent precedent) {}

  /** A verdict for a claim, and the claim that it was found for. */
  public record Carried(Verdict verdict, String from) {}

  private Family(@Nullable Reads reads) {
    this.reads = reads;
  }

  /** A claim that nothing is carried over to. */
  public static Family alone(Claim claim) {
    var family = new Family(null);
    family.claims.add(claim);
    return family;
  }

  /** The families of claims, in the order of their first members. O(claims). */
  public static List<Family> of(Reads reads, List<Claim> claims) {
    var finder = new Finder(reads);
    claims.forEach(finder::familyOf);
    return List.copyOf(finder.families.values());
  }

  /** Finds the family of one claim after the other. Of one thread at a time. */
  public static final class Finder {
    private final Reads reads;
    private final Shape shape;
    private final Map<String, Family> families = new LinkedHashMap<>();

    public Finder(Reads reads) {
      this.reads = reads;
      this.shape = new Shape(reads.model());
    }

    /** The family that the claim now belongs to. O(claim). */
    public Family familyOf(Claim claim) {
      Family family = families.computeIfAbsent(shape.of(claim), s -> new Family(reads));
      family.claims.add(claim);
      return family;
    }
  }

  /** In the order in which they were given. */
  public List<Claim> claims() {
    return Collections.unmodifiableList(claims);
  }

  /** Whether something found for one of its claims may be of use to another. */
  public boolean isOfSeveral() {
    return claims.size() > 1;
  }

  /** Makes known what was found for one of the claims. Means nothing for what is undecided. */
  public void add(Claim claim, Decider.Decision decision) {
    Precedent precedent = reads == null ? null : Precedent.of(reads, decision);
    if (precedent != null) {
      add(claim, precedent);
    }
  }

  /** The same of what was found for it earlier on, and still stands. */
  public void add(Claim claim, Precedent precedent) {
    known.addFirst(new Known(claim, precedent));
  }

  /** The verdict for another of the claims, if an earlier one is carried over; null if not. */
  public @Nullable Carried carriedOver(Claim claim) {
    if (reads == null) {
      return null;
    }
    for (Known k : known.subList(0, Math.min(TRIED, known.size()))) {
      Verdict verdict = k.precedent.carriedOver(reads, claim, k.claim);
      if (verdict != null) {
        return new Carried(verdict, k.claim.id());
      }
    }
    return null;
  }

  /** What a claim says, without names. */
  private static final class Shape {
    private final Model model;
    private final Map<Integer, String> definitions = new HashMap<>();

    Shape(Model model) {
      this.model = model;
    }

    String of(Claim c) {
      var text = new StringBuilder();
      text.append(c.kind()).append(' ').append(c.forQuanta()).append(' ').append(c.faultBudget());
      text.append(' ').append(of(c.condition())).append(' ').append(of(c.onlyWhile()));
      c.monitors().forEach(m -> text.append(' ').append(of(m.value())));
      return text.toString();
    }

    private String of(Expr e) {
      return switch (e) {
        case Expr.Constant c -> "" + c.value();
        case Expr.Read r -> {
          Variable v = model.variable(r.variable());
          yield v.role() + " " + v.size() + " " + v.initial();
        }
        case Expr.Use u -> {
          String known = definitions.get(u.definition());
          if (known == null) {
            known = Fingerprint.of(of(model.definitions().get(u.definition()).value()));
            definitions.put(u.definition(), known);
          }
          yield known;
        }
        case Expr.Not n -> "not(" + of(n.operand()) + ")";
        case Expr.All a -> "all" + of(a.operands());
        case Expr.Any a -> "any" + of(a.operands());
        case Expr.In i -> "in " + i.values() + "(" + of(i.operand()) + ")";
        case Expr.Same s -> "same" + of(List.of(s.left(), s.right()));
        case Expr.Choose c -> "choose(" + of(c.condition()) + "," + of(c.then()) + "," + of(c.otherwise()) + ")";
        case Expr.Shift s -> "shift " + s.by() + "(" + of(s.operand()) + ")";
      };
    }

    private String of(List<Expr> operands) {
      return operands.stream().map(this::of).sorted().toList().toString();
    }
  }
}
