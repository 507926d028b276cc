import type { BitReader, BitWriter } from './bits.ts'
import {
  type Before,
  PREDICTORS,
  type Prediction,
  predicted,
  predictionFor,
  readPrediction,
  writePrediction,
} from './predictors.ts'
import { bestRiceParameter, readRice, writeRice } from './rice.ts'
import { unzigzag } from './zigzag.ts'

const BLOCK = 128
const PARAMETER_BITS = 5
/** Beyond this a difference of differences would no longer be exact. */
const LARGEST = 2 ** 49

const residuals = new Float64Array(BLOCK)

/** Whether a number comes back from `encodeIntegers` bit for bit: an integer, not −0, of less than 2^49. */
export function isCodable(value: number): boolean {
  return Number.isInteger(value) && Math.abs(value) < LARGEST && !Object.is(value, -0)
}

/**
 * Appends integers, losslessly: in blocks of 128 the difference from a prediction, zigzag, Rice-coded. Predictor and
 * parameter are chosen block by block for the least that is left, so that noise about a level, a ramp and a clock are each
 * coded near their entropy. Every value must be codable; the reader has to know how many there are.
 */
export function encodeIntegers(writer: BitWriter, values: Float64Array): void {
  let before: Before = { last: 0, step: 0 }
  for (let from = 0; from < values.length; from += BLOCK) {
    const to = Math.min(values.length, from + BLOCK)
    writeBlock(writer, values, from, to, before)
    const last = values[to - 1] ?? 0
    before = { last, step: last - (to - 2 >= 0 ? (values[to - 2] ?? 0) : 0) }
  }
}

export function decodeIntegers(reader: BitReader, n: number): Float64Array {
  const values = new Float64Array(n)
  let last = 0
  let step = 0
  for (let from = 0; from < n; from += BLOCK) {
    const prediction = readPrediction(reader, { last, step })
    const isLast = prediction.predictor === 'last'
    const k = isLast ? 0 : reader.read(PARAMETER_BITS)
    const count = Math.min(n - from, BLOCK)
    for (let i = 0; i < count; i++) {
      const value = predicted(prediction, i, last, step) + (isLast ? 0 : unzigzag(readRice(reader, k)))
      step = value - last
      last = value
      values[from + i] = value
    }
  }
  return values
}

function writeBlock(writer: BitWriter, values: Float64Array, from: number, to: number, before: Before): void {
  const prediction = bestPrediction(values, from, to, before)
  writePrediction(writer, prediction, before)
  if (prediction.predictor === 'last') return
  fillResiduals(prediction, values, from, to, before)
  const k = bestRiceParameter(residuals, to - from)
  writer.write(k, PARAMETER_BITS)
  for (let i = 0; i < to - from; i++) writeRice(writer, residuals[i] ?? 0, k)
}

/** The prediction that leaves the least to be written. */
function bestPrediction(values: Float64Array, from: number, to: number, before: Before): Prediction {
  let best: Prediction | undefined
  let least = Number.POSITIVE_INFINITY
  for (const predictor of PREDICTORS) {
    const prediction = predictionFor(predictor, values, from, to, before)
    const sum = fillResiduals(prediction, values, from, to, before)
    // Nothing is written beside `last`: it has to be exact.
    if (predictor === 'last' ? sum > 0 : sum >= least) continue
    if (sum === 0 && predictor === 'last') return prediction
    best = prediction
    least = sum
  }
  if (best === undefined) throw new RangeError('no predictor')
  return best
}

/** Zigzag differences from the prediction, into `residuals`; returns their sum. */
function fillResiduals(prediction: Prediction, values: Float64Array, from: number, to: number, before: Before): number {
  let { last, step } = before
  let sum = 0
  for (let i = from; i < to; i++) {
    const value = values[i] ?? 0
    const difference = value - predicted(prediction, i - from, last, step)
    const residual = difference >= 0 ? 2 * difference : -2 * difference - 1
    residuals[i - from] = residual
    sum += residual
    step = value - last
    last = value
  }
  return sum
}
