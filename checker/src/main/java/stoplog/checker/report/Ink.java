package stoplog.checker.report;

/** Colour on a terminal, or none. */
public enum Ink {
  NONE,
  COLOUR;

  String good(String text) {
    return paint("32", text);
  }

  String bad(String text) {
    return paint("1;31", text);
  }

  String open(String text) {
    return paint("33", text);
  }

  String strong(String text) {
    return paint("1", text);
  }

  String faint(String text) {
    return paint("2", text);
  }

  String standing(Standing standing, String text) {
    return switch (standing) {
      case PROVED, HOLDS -> good(text);
      case CAN_HAPPEN, BROKEN -> bad(text);
      case UNDECIDED -> open(text);
    };
  }

  private String paint(String code, String text) {
    return this == NONE ? text : "\u001b[" + code + "m" + text + "\u001b[0m";
  }
}
