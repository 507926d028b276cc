import type { BatchSeries } from '../../statistics/batch-series.ts'
import { estimateMean } from '../../statistics/mean-estimate.ts'
import { Moments } from '../../statistics/moments.ts'

export interface Told {
  readonly value: number
  readonly u: number
}

const BATCHES = 24

/** Mean of samples that remember one another, with its standard uncertainty; null without samples. */
export function meanOf(tMs: readonly number[], values: readonly number[]): Told | null {
  const n = values.length
  if (n === 0) return null
  const all = new Moments()
  for (const value of values) all.add(value)
  const estimate = estimateMean(batched(tMs, values), all.variance ?? 0)
  if (estimate !== undefined) return { value: estimate.value, u: estimate.u }
  // Too few for batches: one reading's scatter stands for the mean's, which errs to the side of caution.
  return { value: all.mean, u: Math.sqrt(all.variance ?? 0) }
}

function batched(tMs: readonly number[], values: readonly number[]): BatchSeries {
  const count = Math.min(BATCHES, values.length)
  const batches = Array.from({ length: count }, () => ({ time: new Moments(), value: new Moments() }))
  for (const [i, value] of values.entries()) {
    const batch = batches[Math.floor((i * count) / values.length)]
    batch?.time.add(tMs[i] ?? 0)
    batch?.value.add(value)
  }
  return {
    tMs: batches.map(({ time }) => time.mean),
    n: batches.map(({ value }) => value.n),
    y: batches.map(({ value }) => value.mean),
  }
}
