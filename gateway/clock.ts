import { type EpochMs, epochMs, type MonotonicMs, monotonicMs } from '../shared/brand.ts'

/**
 * The gateway's two clocks. Samples are dated on the monotonic clock (CLOCK_MONOTONIC, the same
 * in every process of the machine, never stepped); one anchor taken at the start turns that into
 * wall time, so that a stepped wall clock neither reorders samples nor tears a gap.
 */
export interface Clock {
  now(): MonotonicMs
  toEpoch(t: MonotonicMs): EpochMs
}

export function readMonotonic(): MonotonicMs {
  return monotonicMs(Number(process.hrtime.bigint()) / 1e6)
}

/**
 * A clock anchored at the moment of the call. It does not begin before `notBeforeMs`: where the wall clock was set back
 * since the newest record, times go on from there.
 */
export function systemClock(notBeforeMs: number | null = null): Clock {
  const wallMs = Date.now()
  const offset = (notBeforeMs === null ? wallMs : Math.max(wallMs, Math.floor(notBeforeMs) + 1)) - readMonotonic()
  return { now: readMonotonic, toEpoch: (t) => epochMs(t + offset) }
}

/**
 * A clock that samples may lead: a recording that is played faster than it was recorded is ahead of the
 * machine's clock, and "now" is its newest sample. The lead only grows; from there time goes on as ever,
 * so that a recording that has ended becomes stale like a device that fell silent.
 */
export class LeadingClock implements Clock {
  readonly #clock: Clock
  #leadMs = 0

  constructor(clock: Clock) {
    this.#clock = clock
  }

  /** The clock that no sample leads: to be held against the wall clock. */
  get unled(): Clock {
    return this.#clock
  }

  readonly now = (): MonotonicMs => monotonicMs(this.#clock.now() + this.#leadMs)
  readonly toEpoch = (t: MonotonicMs): EpochMs => this.#clock.toEpoch(t)

  /** A sample of this time has come; one that is not ahead changes nothing. */
  follow(t: MonotonicMs): void {
    this.#leadMs = Math.max(this.#leadMs, t - this.#clock.now())
  }
}
