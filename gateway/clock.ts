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

/** A clock anchored at the moment of the call. */
export function systemClock(): Clock {
  const offset = Date.now() - readMonotonic()
  return { now: readMonotonic, toEpoch: (t) => epochMs(t + offset) }
}
