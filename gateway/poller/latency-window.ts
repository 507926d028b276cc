/**
 * Quantiles of a duration over about the last minute, in bounded memory.
 *
 * Twelve slots of 5 s, each a histogram with logarithmic buckets 5 % wide from 0.01 ms to 100 s:
 * about 16 kB whatever the rate, O(1) a sample. A quantile is right to ± 2.5 % (a bucket's
 * geometric middle); the maximum is exact. The window reaches back 55 to 60 s.
 */
const SLOT_MS = 5000
const SLOTS = 12
const LOWEST_MS = 0.01
const RATIO = 1.05
const BUCKETS = 1 + Math.ceil(Math.log(100_000 / LOWEST_MS) / Math.log(RATIO))

export interface LatencySummary {
  readonly p50: number
  readonly p99: number
  readonly max: number
}

interface Slot {
  /** Which 5 s since the clock's zero; −1 before the first. */
  epoch: number
  count: number
  max: number
  readonly buckets: Uint32Array
}

export class LatencyWindow {
  readonly #slots: readonly Slot[] = Array.from({ length: SLOTS }, () => ({
    epoch: -1,
    count: 0,
    max: 0,
    buckets: new Uint32Array(BUCKETS),
  }))

  add(nowMs: number, durationMs: number): void {
    const epoch = Math.floor(nowMs / SLOT_MS)
    const slot = this.#slots[epoch % SLOTS]
    if (slot === undefined) return
    if (slot.epoch !== epoch) clear(slot, epoch)
    const bucket = bucketOf(durationMs)
    slot.buckets[bucket] = (slot.buckets[bucket] ?? 0) + 1
    slot.count++
    slot.max = Math.max(slot.max, durationMs)
  }

  /** Null when nothing was added in the window. */
  summary(nowMs: number): LatencySummary | null {
    const oldest = Math.floor(nowMs / SLOT_MS) - SLOTS + 1
    const live = this.#slots.filter((slot) => slot.epoch >= oldest)
    const count = live.reduce((sum, slot) => sum + slot.count, 0)
    if (count === 0) return null
    const max = Math.max(...live.map((slot) => slot.max))
    const quantile = (q: number) => Math.min(max, middleOf(bucketAt(live, Math.ceil(q * count))))
    return { p50: quantile(0.5), p99: quantile(0.99), max }
  }
}

function clear(slot: Slot, epoch: number): void {
  slot.epoch = epoch
  slot.count = 0
  slot.max = 0
  slot.buckets.fill(0)
}

function bucketOf(durationMs: number): number {
  if (durationMs <= LOWEST_MS) return 0
  return Math.min(BUCKETS - 1, 1 + Math.floor(Math.log(durationMs / LOWEST_MS) / Math.log(RATIO)))
}

function middleOf(bucket: number): number {
  return bucket === 0 ? LOWEST_MS : LOWEST_MS * RATIO ** (bucket - 0.5)
}

/** The bucket that holds the `rank`-th smallest value (counted from 1) of all slots together. */
function bucketAt(slots: readonly Slot[], rank: number): number {
  let seen = 0
  for (let bucket = 0; bucket < BUCKETS; bucket++) {
    for (const slot of slots) seen += slot.buckets[bucket] ?? 0
    if (seen >= rank) return bucket
  }
  return BUCKETS - 1
}
