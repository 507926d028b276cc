import { ROLL_UP_LEVELS } from './roll-up.ts'

/** Where the rows of a history come from, and how wide each is. */
export interface BucketWidth {
  /** Seconds of the roll-up that is read; null: the samples themselves. */
  readonly level: number | null
  readonly bucketMs: number
}

const FINEST_MS = ROLL_UP_LEVELS[0] * 1000

/**
 * The narrowest stretch that draws a range in at most `points` rows: from 10 s on of the widest roll-up that fits,
 * a whole number of its own stretches; below that of the samples, 1, 2 or 5 times a power of ten in ms.
 */
export function bucketWidth(rangeMs: number, points: number): BucketWidth {
  const idealMs = rangeMs / points
  if (idealMs < FINEST_MS) {
    const bucketMs = roundUp(idealMs)
    if (bucketMs < FINEST_MS) return { level: null, bucketMs }
  }
  return rollUpWidth(idealMs)
}

export function rollUpWidth(idealMs: number): BucketWidth {
  const level = ROLL_UP_LEVELS.findLast((one) => one * 1000 <= idealMs) ?? ROLL_UP_LEVELS[0]
  return { level, bucketMs: Math.max(1, Math.ceil(idealMs / (level * 1000))) * level * 1000 }
}

function roundUp(ms: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(1, ms)))
  return ([1, 2, 5, 10].find((step) => step * power >= ms) ?? 10) * power
}
