import type { Bucket } from './time-buckets.ts'

/** Batch means in order of time: each with its mean time and the number of samples behind it. */
export interface BatchSeries {
  readonly tMs: readonly number[]
  readonly n: readonly number[]
  readonly y: readonly number[]
}

/** One batch mean a bucket; buckets for which `meanOf` gives undefined are left out. */
export function batchSeries<S>(buckets: readonly Bucket<S>[], meanOf: (stat: S) => number | undefined): BatchSeries {
  const tMs: number[] = []
  const n: number[] = []
  const y: number[] = []
  for (const bucket of buckets) {
    const value = meanOf(bucket.stat)
    if (value === undefined || bucket.n === 0) continue
    tMs.push(bucket.meanMs)
    n.push(bucket.n)
    y.push(value)
  }
  return { tMs, n, y }
}

/** Σ over a series of weight × value. */
export function weightedSum(weights: readonly number[], values: readonly number[]): number {
  let sum = 0
  for (let i = 0; i < weights.length; i += 1) sum += (weights[i] ?? 0) * (values[i] ?? 0)
  return sum
}
