/** So long after a store was opened a clock that leapt is not believed: by then a time server or a hand has set it. */
const BELIEVED_AFTER_MS = 86_400_000

export interface RetentionClock {
  /** The gateway's clock and the wall clock, epoch ms. */
  readonly gatewayMs: number
  readonly wallMs: number
  /** Newest time in the store when it was opened, epoch ms; null in an empty one. */
  readonly newestMs: number | null
  /** Time since then on a clock that nobody sets. */
  readonly openMs: number
}

/**
 * The time by which recordings grow old, epoch ms. What is deleted does not come back, so of two clocks the one that is
 * behind counts; and a machine that starts with its clock a year ahead deletes nothing for it: for the first day time
 * goes on from the newest record. After a real standstill old recordings only stay that day longer.
 */
export function retentionNowMs({ gatewayMs, wallMs, newestMs, openMs }: RetentionClock): number {
  const nowMs = Math.min(gatewayMs, wallMs)
  return newestMs === null || openMs >= BELIEVED_AFTER_MS ? nowMs : Math.min(nowMs, newestMs + openMs)
}
