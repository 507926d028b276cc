/**
 * When to poll: tick k is due at t0 + k·period, for ever. A late tick does not move the later ones
 * (an interval timer drifts by seconds an hour), and ticks that went by while the line was busy are
 * skipped and counted, never made up for in a bunch. Pure: the time is an argument.
 */
export interface Ticks {
  readonly t0: number
  readonly periodMs: number
  /** Index of the first tick that has neither run nor been skipped. */
  readonly next: number
}

export type TickStep =
  | { readonly kind: 'wait'; readonly forMs: number }
  | {
      readonly kind: 'run'
      /** When the tick was due; its lateness is now − dueMs. */
      readonly dueMs: number
      /** Ticks before it that were never run. */
      readonly skipped: number
      readonly ticks: Ticks
    }

/** A schedule whose tick 0 is due at `t0`. Throws RangeError unless the period is a positive number. */
export function startTicks(t0: number, periodMs: number): Ticks {
  if (!(periodMs > 0 && Number.isFinite(periodMs))) throw new RangeError(`period ${periodMs} ms: expected more than 0`)
  return { t0, periodMs, next: 0 }
}

/** When tick k is due. */
export function dueAt(ticks: Ticks, k: number): number {
  return ticks.t0 + k * ticks.periodMs
}

/** What to do at `now`, with nothing in flight: wait, or run the newest tick that is due. */
export function nextStep(ticks: Ticks, now: number): TickStep {
  const first = dueAt(ticks, ticks.next)
  if (now < first) return { kind: 'wait', forMs: first - now }
  const k = newestDue(ticks, now)
  return { kind: 'run', dueMs: dueAt(ticks, k), skipped: k - ticks.next, ticks: { ...ticks, next: k + 1 } }
}

/** Largest k with dueAt(k) ≤ now, not before `next`; the division alone may be one off by rounding. */
function newestDue(ticks: Ticks, now: number): number {
  let k = Math.max(ticks.next, Math.floor((now - ticks.t0) / ticks.periodMs))
  while (k > ticks.next && dueAt(ticks, k) > now) k--
  while (dueAt(ticks, k + 1) <= now) k++
  return k
}
