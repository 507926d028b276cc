import { NoiseBlocks } from '../../statistics/noise-blocks.ts'
import type { GoodSamples } from './rows.ts'

/** A capture is cut into at least so many blocks. */
const BLOCKS = 6

/** 1 σ after slow motion is removed, and peak to peak of the same; null where it is too short to tell. */
export function noiseOf({ tMs, values }: GoodSamples, blockMs: number): { sigma: number; peakToPeak: number } | null {
  const first = tMs[0]
  const last = tMs.at(-1)
  if (first === undefined || last === undefined || last <= first) return null
  const span = last - first
  const block = Math.min(blockMs, span / BLOCKS)
  const blocks = new NoiseBlocks(block, span + block)
  for (const [i, value] of values.entries()) blocks.add(tMs[i] ?? 0, value)
  const told = blocks.estimate(first - 1)
  return told === undefined ? null : { sigma: told.sigma, peakToPeak: told.peakToPeak }
}
