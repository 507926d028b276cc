import type { DeviceHealth } from '../../shared/schemas/health.ts'

export type DeviceState = DeviceHealth['state']

/** When each planned request was last answered; null before the first answer. */
export interface AnswerTimes {
  readonly startMs: number
  /** Newest answer with at least one value in it. */
  readonly anyMs: number | null
  /** Newest whole answer of each request. */
  readonly wholeMs: readonly (number | null)[]
}

/** How long a device may be silent before it counts as lost: three periods, at least a second. */
export function silenceLimitMs(periodMs: number): number {
  return Math.max(3 * periodMs, 1000)
}

/**
 * What a polled device is doing at `now`. One rule: an answer is fresh up to `limitMs`.
 * Nothing fresh is lost, everything fresh is answering, otherwise partly; the time up to
 * `limitMs` after the start is starting until everything has answered once. A device of which
 * nothing is asked stays at starting: nothing is known of it.
 */
export function polledState(times: AnswerTimes, now: number, limitMs: number): DeviceState {
  if (times.wholeMs.length === 0) return 'starting'
  const fresh = (t: number | null) => t !== null && now - t <= limitMs
  const young = now - times.startMs <= limitMs
  const neverWhole = times.wholeMs.some((t) => t === null)
  if (young && (times.anyMs === null || neverWhole)) return 'starting'
  if (!fresh(times.anyMs)) return 'lost'
  return times.wholeMs.every(fresh) ? 'answering' : 'partly'
}
