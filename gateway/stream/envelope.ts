import { qualityFromByte, qualityOf } from '../../shared/quality.ts'
import type { RowBlock } from './sample-ring.ts'

/** Rows of a block drawn together into buckets of time: the lowest and highest value in each. */
export interface Envelope {
  /** Epoch ms of the first row of each bucket. */
  readonly timesMs: Float64Array
  readonly minima: readonly Float32Array[]
  readonly maxima: readonly Float32Array[]
  /** Worst quality byte of each bucket; of equally bad ones the latest. */
  readonly qualities: readonly Uint8Array[]
}

const SEVERITY = { good: 0, uncertain: 1, bad: 2 } as const

const severity = (byte: number): number => SEVERITY[qualityOf(qualityFromByte(byte))]

/**
 * Minimum and maximum of each column in buckets of `bucketMs` on absolute time.
 *
 * A bucket without one number in a column is NaN there, never zero; a bucket without a row is
 * not in the result, so that a gap stays a gap. Rows must be in order of time.
 */
export function envelopeOf(block: RowBlock, bucketMs: number): Envelope {
  const starts = bucketStarts(block.timesMs, bucketMs)
  const rows = block.timesMs.length
  const fold = (column: Float32Array, pick: (a: number, b: number) => number) =>
    Float32Array.from(starts, (start, i) => foldNumbers(column, start, starts[i + 1] ?? rows, pick))
  return {
    timesMs: Float64Array.from(starts, (start) => block.timesMs[start] ?? Number.NaN),
    minima: block.values.map((column) => fold(column, Math.min)),
    maxima: block.values.map((column) => fold(column, Math.max)),
    qualities: block.qualities.map((column) =>
      Uint8Array.from(starts, (start, i) => worstQuality(column, start, starts[i + 1] ?? rows)),
    ),
  }
}

function bucketStarts(timesMs: Float64Array, bucketMs: number): number[] {
  const starts: number[] = []
  let bucket = Number.NaN
  for (let i = 0; i < timesMs.length; i++) {
    const own = Math.floor((timesMs[i] ?? Number.NaN) / bucketMs)
    if (own !== bucket) starts.push(i)
    bucket = own
  }
  return starts
}

function foldNumbers(column: Float32Array, start: number, end: number, pick: (a: number, b: number) => number): number {
  let result = Number.NaN
  for (let i = start; i < end; i++) {
    const value = column[i] ?? Number.NaN
    if (Number.isNaN(value)) continue
    result = Number.isNaN(result) ? value : pick(result, value)
  }
  return result
}

function worstQuality(column: Uint8Array, start: number, end: number): number {
  let worst = column[start] ?? 0
  for (let i = start + 1; i < end; i++) {
    const byte = column[i] ?? 0
    if (severity(byte) >= severity(worst)) worst = byte
  }
  return worst
}
