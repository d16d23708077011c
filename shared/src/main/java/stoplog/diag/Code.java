package stoplog.diag;

import stoplog.diag.Diagnostic.Severity;

/**
 * The catalogue of diagnostics of plant texts. A code never changes its meaning; a code that is no
 * longer given is not used again.
 */
public enum Code {
  NO_SUCH_FILE("E0101", "the plant file does not exist"),
  UNREADABLE("E0102", "the plant file cannot be read"),
  NOT_ONE_PLANT("E0103", "a directory must hold exactly one file that ends in .plant"),
  EMPTY("E0104", "the plant file has no text"),
  NOT_UTF8("E0105", "the plant file is not UTF-8 text"),
  NOT_TEXT("E0106", "the file is not a plant text"),
  TOO_LARGE("E0107", "the plant file is too large"),
  OUTSIDE_PLANT("E0108", "an included file is not in the plant's directory"),
  INCLUDE_CIRCLE("E0109", "files include each other in a circle"),

  UNEXPECTED("E0201", "a word or sign stands where something else is needed"),
  TOO_DEEP("E0202", "parentheses or braces are nested too deep"),
  OPEN_QUOTE("E0203", "a text has no closing quote on its line"),
  STRANGE_CHARACTER("E0204", "a character has no meaning in a plant text"),
  SPELLING("E0206", "tags are written in capitals, names in lower case"),
  RESERVED("E0207", "a word of the language cannot be a name"),
  NOT_SEPARATED("E0208", "two entries stand on one line without a semicolon"),
  TOO_MANY("E0209", "only the first errors of a file are shown"),
  NO_HEADER("E0210", "a plant text begins with the plant's name"),

  UNKNOWN_UNIT("E0301", "the unit is not known"),
  WRONG_UNIT("E0302", "the unit measures something else"),
  UPSIDE_DOWN("E0303", "a window begins with its smaller end"),
  NOT_A_WINDOW("E0304", "a window needs both its ends"),
  OUTSIDE_WINDOW("E0305", "the default lies outside its window"),
  NO_TIME("E0306", "the time must be longer than nothing"),
  TOO_FINE("E0307", "times are whole microseconds"),
  TOO_LONG("E0308", "the time is too long beside the finest time of the plant"),
  TOO_MANY_BANDS("E0309", "one value is compared with too many limits"),
  OUTSIDE_SPAN("E0310", "a value lies outside its span"),
  NO_MOVEMENT("E0311", "a movement goes from one value to another"),
  DELAY_WITHOUT_UNIT("E0312", "a time has no unit"),
  NO_UNIT("E0313", "a value has no unit"),
  NOT_A_COUNT("E0314", "a whole number in a range is needed here"),
  NOT_AS_ENTERED("E0320", "the panel cannot show the value as a whole number of its unit"),

  NOT_POSITIVE("E0331", "a rate or dead band is more than nothing"),
  NO_SPAN("E0332", "a value that moves at a rate has two ends"),
  WRONG_CAUSE("E0333", "conditions start and end, counts rise and fall"),
  RATE_WITHOUT_EFFECT("W0334", "a rate says nothing of a value that moves freely"),

  UNKNOWN_NAME("E0401", "nothing has this name"),
  DECLARED_TWICE("E0402", "two things have one name"),
  WRONG_USE("E0403", "the named thing cannot be used this way"),
  UNKNOWN_STATE("E0404", "the thing has no such state or position"),
  UNKNOWN_KIND("E0405", "no kind of equipment has this name"),
  UNKNOWN_MEMBER("E0406", "the kind of equipment has no such property"),
  STATED_TWICE("E0407", "the same thing is stated twice"),

  KIND_STATES("E0420", "a kind of equipment has too few or too many states"),
  KIND_WORD("E0421", "a kind of equipment names what it does not have"),
  KIND_MOTION("E0422", "a motion of a kind of equipment begins or ends wrongly"),
  KIND_MODE("E0423", "a part of a kind of equipment never applies"),
  KIND_FAILS("E0424", "what a kind of equipment does without power is not clear"),
  KIND_PASSAGE("E0425", "a kind of equipment does not say between which ports it passes"),
  KIND_ENDLESS("E0426", "a piece of equipment would move on and on in no time"),
  KIND_UNREACHED("E0427", "a kind of equipment never comes into one of its states"),
  NO_DRIVE("E0428", "a plant does not say when the process moves a piece of equipment"),
  NO_COMMAND("E0429", "the kind of equipment takes no command"),
  KIND_REPLACED("N0430", "a plant describes a shipped kind of equipment anew"),

  READS_TRUTH("E0501", "logic reads what the controller cannot see"),
  READS_FIELD("E0502", "the process depends on what only the controller knows"),
  NOT_PROVEN("E0503", "no feedback proves this state"),

  COMMANDED_TWICE("E0601", "two commands go to one piece of equipment"),
  NEVER_COMMANDED("E0602", "the logic never commands the equipment"),
  HAND_COMMANDED("E0603", "the logic commands equipment that is moved by hand"),
  WRONG_VERB("E0604", "the kind of equipment is commanded with another word"),
  NO_RESET("E0605", "a trip has nothing that resets it"),
  NO_TRIP("E0606", "the equipment has no trip"),
  NO_FAIL_POSITION("E0607", "power may fail and the fail position is not stated"),
  CYCLE("E0608", "conditions depend on each other in a circle"),
  TOO_MANY_MOVEMENTS("E0609", "a level has too many movements"),
  READ_EARLY("N0610", "the logic reads a name before it writes it"),
  BOTH_SIDES("N0611", "a time is for both sides of an `or`"),
  NOT_ACKNOWLEDGED("E0621", "an alarm has nothing that acknowledges or resets it"),
  NO_INTERLOCK("E0622", "the equipment has no interlock"),
  NO_DEMAND("E0623", "a command says nowhere when it is wanted"),
  NO_INITIAL_STEP("E0631", "a sequence has no initial step"),
  MACRO_ENDS("E0632", "a macro has exactly one entry step and one exit step"),
  MACRO_CIRCLE("E0633", "a macro contains itself"),
  NO_SUCH_STEP("E0634", "the sequence has no such step or macro"),
  STEP_NOT_REACHED("E0635", "a sequence never comes to one of its steps"),
  DEAD_END("W0636", "a sequence never leaves one of its steps"),
  BOTH_WAYS("W0637", "two transitions may leave one step in the same scan"),
  NOT_IN_THIS_CHART("E0638", "an entry of a sequence stands where it has no meaning"),

  UNKNOWN_TEMPLATE("E0801", "no template has this name"),
  WRONG_ARGUMENTS("E0802", "a use of a template states other things than the template needs"),
  TEMPLATE_CIRCLE("E0803", "templates use each other in a circle"),
  OPEN_PART("E0804", "nothing fills in a part that is left open"),
  WRONG_FILLING("E0805", "what is filled in does not fit there"),
  RANGE_OUTSIDE_LIST("E0806", "a range of numbers repeats an entry of a list"),
  TOO_MANY_COPIES("E0807", "the templates bring too much"),

  NO_SUCH_PORT("E0811", "the equipment has no such port"),
  NOT_IN_PIPES("E0812", "no pipe leads there"),
  TOO_MANY_PATHS("E0813", "too many paths lead from one place to another"),
  NO_PATH("W0814", "no path leads from one place to another"),
  OFFERED_HAZARD("N0815", "the pipes offer a hazard that no claim speaks of"),

  INNER_DURATION("E0701", "a claim has a duration inside its condition"),
  DURATION_OUTSIDE_LOGIC("E0702", "a duration stands where nothing is timed"),
  EDGE_OUTSIDE_LOGIC("E0704", "a change from one scan to the next is asked for outside the logic"),
  ADJUSTABLE_DURATION("E0703", "the time of a claim is adjustable"),
  SEEN_TOO_LATE("E0705", "a scenario looks for something in a time that is over"),
  POWER_NEVER_FAILS("E0706", "a scenario has a power failure that cannot happen"),
  HAZARD_ON_FIELD("W0701", "a hazard speaks of what the controller sees or wants"),
  NO_CLAIMS("W0702", "the plant claims nothing"),
  NEVER_WITHOUT_POWER("W0703", "a claim excludes a power failure that cannot happen");

  private final String id;
  private final String meaning;

  Code(String id, String meaning) {
    this.id = id;
    this.meaning = meaning;
  }

  /** {@code E0312}: the letter of its severity and a number that never changes. */
  public String id() {
    return id;
  }

  /** What it says in general, a statement without full stop. */
  public String meaning() {
    return meaning;
  }

  public Severity severity() {
    return switch (id.charAt(0)) {
      case 'E' -> Severity.ERROR;
      case 'W' -> Severity.WARNING;
      default -> Severity.NOTE;
    };
  }
}
