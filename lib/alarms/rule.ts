/**
 * How one alarm behaves. The states, delays, deadband and latching are those that IEC 62682 and ANSI/ISA-18.2 describe
 * in general terms; what data that stop do to an alarm is this product's own.
 */
export interface AlarmRule {
  /** Outside for this long, without a word to the contrary, announces it. */
  readonly onDelayMs: number
  /** Inside for this long, without a word to the contrary, ends it. */
  readonly offDelayMs: number
  /** Without a known condition for this long it is unknown. */
  readonly unknownAfterMs: number
  /** Share of the limit that a value must be away from it before that counts as inside again. */
  readonly deadband: number
  /** Ends only by an acknowledgement made after the condition has returned. */
  readonly latched: boolean
  readonly longestShelvingMs: number
}
