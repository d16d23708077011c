package stoplog.dsl.resolve;

/** Who reads an expression, and so what it may read. */
enum View {
  /** The controller: the field and its own memory, never the truth. */
  LOGIC,
  /** Nature and instruments: the truth, never what only the controller knows. */
  PROCESS,
  /** A claim: anything; a hazard on the field gets a warning. */
  CLAIM,
  /** A promise whose conditions have no duration of their own; else as a claim. */
  PROMISE
}
