package stoplog.dsl.tree;

/** The timers of IEC 61131-3, as the language says them. */
public enum TimerForm {
  /** {@code E for T}: true once E has held for T, until E ends. The on-delay, TON. */
  ON_DELAY,
  /** {@code E held on for T}: true while E holds and for T after it ends. The off-delay, TOF. */
  OFF_DELAY,
  /**
   * {@code pulse of T from E}: true for exactly T from when E becomes true, whatever E does
   * meanwhile; E becoming true again during that time starts nothing. The pulse, TP.
   */
  PULSE
}
