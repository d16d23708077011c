package stoplog.checker.report;

import stoplog.model.Claim;
import stoplog.model.Verdict;

/** How a claim stands, in the words shown to a person. */
public enum Standing {
  /** A hazard that no run reaches. */
  PROVED("proved", "proved"),
  /** A hazard that some run reaches. */
  CAN_HAPPEN("can happen", "reachable"),
  /** A requirement that is met. */
  HOLDS("holds", "holds"),
  /** A requirement that is not met. */
  BROKEN("broken", "broken"),
  /** Neither shown nor refuted. */
  UNDECIDED("undecided", "undecided");

  private final String words;
  private final String key;

  Standing(String words, String key) {
    this.words = words;
    this.key = key;
  }

  /** As told to a person. */
  public String words() {
    return words;
  }

  /** As written in JSON; never changes. */
  public String key() {
    return key;
  }

  /** Whether it is as the plant's author wants it. */
  public boolean good() {
    return this == PROVED || this == HOLDS;
  }

  /** Whether it is a finding. */
  public boolean finding() {
    return this == CAN_HAPPEN || this == BROKEN;
  }

  /** What this verdict means for this claim. */
  public static Standing of(Claim claim, Verdict verdict) {
    boolean hazard = claim.kind() == Claim.Kind.HAZARD;
    return switch (verdict) {
      case Verdict.Undecided _ -> UNDECIDED;
      case Verdict.Proved _ ->
          hazard ? PROVED : claim.kind().wanted() ? BROKEN : HOLDS;
      case Verdict.Reached _ ->
          hazard ? CAN_HAPPEN : claim.kind().wanted() ? HOLDS : BROKEN;
    };
  }
}
