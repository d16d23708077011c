package stoplog.model;

/** What part of the plant a variable belongs to, and so who may change and who may read it. */
public enum Role {
  /** Position or motion of equipment: the truth, moved by physics. */
  EQUIPMENT,
  /** A condition, level or other value of the process: the truth, moved by nature. */
  PROCESS,
  /** What an instrument shows the controller. */
  INSTRUMENT,
  /** A button, selector or setpoint. */
  PANEL,
  /** A latch, trip or signal of the controller. */
  MEMORY,
  /** A command of the controller to equipment. */
  COMMAND,
  /** The phase of a timer of the controller, or of the course of a scenario. */
  TIMER,
  /** A fault that is or is not present. */
  FAULT,
  /** Whether the controller has power. */
  POWER,
  /** What a claim remembers of the run so far; no part of the plant. */
  MONITOR
}
