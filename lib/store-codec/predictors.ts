import type { BitReader, BitWriter } from './bits.ts'
import { readCount, writeCount } from './rice.ts'
import { unzigzag, zigzag } from './zigzag.ts'

/** What a block's values are compared with; its place is its number in the store: new ones go to the end. */
export const PREDICTORS = ['last', 'level', 'step', 'even-step', 'bend', 'line'] as const
export type Predictor = (typeof PREDICTORS)[number]
const PREDICTOR_BITS = 3

/** Slope of a line in steps of 1/256 a value, so that three polls a second are as even as four. */
const SLOPE_STEPS = 256
/** A steeper line is not offered as one: its slope would no longer be written exactly (two values 2^43 apart). */
const STEEPEST = 2 ** 51

/** The two values before a block; zeros before the first. */
export interface Before {
  readonly last: number
  readonly step: number
}

/**
 * How a block predicts its next value:
 *
 * * `last`: every value is the one before (nothing else is written);
 * * `level` a: a, for noise about a level;
 * * `step`: the one before;
 * * `even-step` a: the one before and a;
 * * `bend`: the one before and the step before (delta of delta);
 * * `line` a, b: a + b·i, for a clock that ticks evenly with a little jitter.
 *
 * `level` and its step follow the definition in RFC 9639 (fixed predictors of order 0 to 2), with what they lack for
 * noise and clocks.
 */
export interface Prediction {
  readonly predictor: Predictor
  readonly a: number
  readonly b: number
}

/** The prediction of this kind for `values[from…to)`; a and b are integers. */
export function predictionFor(
  predictor: Predictor,
  values: Float64Array,
  from: number,
  to: number,
  before: Before,
): Prediction {
  const n = to - from
  const first = values[from] ?? 0
  const last = values[to - 1] ?? 0
  if (predictor === 'level') return { predictor, a: Math.round(meanOf(values, from, to)), b: 0 }
  if (predictor === 'even-step') return { predictor, a: Math.round((last - before.last) / n), b: 0 }
  if (predictor === 'line') {
    const slope = n < 2 ? 0 : Math.round(((last - first) / (n - 1)) * SLOPE_STEPS)
    return { predictor, a: first, b: Math.abs(slope) < STEEPEST ? slope : 0 }
  }
  return { predictor, a: 0, b: 0 }
}

/** Value `i` of the block as predicted from the two before it. */
export function predicted({ predictor, a, b }: Prediction, i: number, last: number, step: number): number {
  switch (predictor) {
    case 'last':
    case 'step':
      return last
    case 'level':
      return a
    case 'even-step':
      return last + a
    case 'bend':
      return last + step
    case 'line':
      return a + Math.round((b * i) / SLOPE_STEPS)
  }
}

export function writePrediction(writer: BitWriter, { predictor, a, b }: Prediction, before: Before): void {
  writer.write(PREDICTORS.indexOf(predictor), PREDICTOR_BITS)
  if (predictor === 'level' || predictor === 'line') writeCount(writer, zigzag(a - before.last))
  if (predictor === 'even-step') writeCount(writer, zigzag(a))
  if (predictor === 'line') writeCount(writer, zigzag(b))
}

/** Throws RangeError for a predictor of a newer version. */
export function readPrediction(reader: BitReader, before: Before): Prediction {
  const number = reader.read(PREDICTOR_BITS)
  const predictor = PREDICTORS[number]
  if (predictor === undefined) throw new RangeError(`no predictor has the number ${number}`)
  if (predictor === 'level') return { predictor, a: before.last + unzigzag(readCount(reader)), b: 0 }
  if (predictor === 'even-step') return { predictor, a: unzigzag(readCount(reader)), b: 0 }
  if (predictor === 'line') {
    const a = before.last + unzigzag(readCount(reader))
    return { predictor, a, b: unzigzag(readCount(reader)) }
  }
  return { predictor, a: 0, b: 0 }
}

function meanOf(values: Float64Array, from: number, to: number): number {
  let sum = 0
  for (let i = from; i < to; i++) sum += values[i] ?? 0
  return sum / (to - from)
}
