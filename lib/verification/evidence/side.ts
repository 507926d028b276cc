import { qualityFromByte } from '../../../shared/quality.ts'
import type { Side } from '../../../shared/sample.ts'
import type { CapturedSide } from '../../../shared/schemas/verification/capture.ts'
import { type CellScale, cellCapacityN, cellScale, type VerificationContext } from '../context.ts'
import { meanOf } from './means.ts'
import { noiseOf } from './noise.ts'
import { type CapturedRows, type GoodSamples, goodOf } from './rows.ts'

/** Codes of a signal at an end of its range. */
const AT_END: ReadonlySet<string> = new Set([
  'saturated',
  'under-range',
  'over-range',
  'out-of-range-uncertain',
  'over-capacity',
])
/** A sample this many robust σ from its neighbours, and this share of capacity, is a spike (common practice, no source). */
const SPIKE_SIGMAS = 10
const SPIKE_SHARE = 0.005
const MOST_DISTINCT = 100_000

/** What one side did. */
export function capturedSide(context: VerificationContext, rows: CapturedRows, side: Side): CapturedSide {
  const scale = cellScale(context, side)
  const good = goodOf(rows, side)
  const { samples, atEnd: said, badStretches } = counted(rows, side)
  const atEnd = Math.max(said, flatTop(good.values))
  const force = meanOf(good.tMs, good.values)
  const noise = noiseOf(good, context.zone.noise_block_s * 1000)
  const { distinct, step } = steps(good, scale)
  return {
    samples,
    good: good.values.length,
    electrical:
      force === null ? null : { value: force.value / scale.gainN + scale.zero, u: force.u / Math.abs(scale.gainN) },
    electricalUnit: scale.unit,
    force,
    min: force === null ? null : least(good.values),
    max: force === null ? null : -least(good.values.map((value) => -value)),
    noise: noise?.sigma ?? null,
    peakToPeak: noise?.peakToPeak ?? null,
    distinct,
    step,
    atEnd: samples === 0 ? 0 : atEnd / samples,
    bad: samples - good.values.length,
    badStretches,
    spikes: spikesOf(good.values, cellCapacityN(context, side)),
  }
}

const least = (values: readonly number[]): number =>
  values.reduce((low, value) => Math.min(low, value), Number.POSITIVE_INFINITY)

/** Samples that came or should have; a row in which only another column came says nothing of this one. */
function counted({ columns, codes }: CapturedRows, side: Side) {
  const of = codes[columns.indexOf(side)] ?? new Uint8Array()
  let [samples, atEnd, badStretches] = [0, 0, 0]
  let wasBad = false
  for (const byte of of) {
    const code = qualityFromByte(byte)
    if (code === 'missing') continue
    samples += 1
    if (AT_END.has(code)) atEnd += 1
    if (code !== 'good' && !wasBad) badStretches += 1
    wasBad = code !== 'good'
  }
  return { samples, atEnd, badStretches }
}

/** So many samples on the outermost value, and so many times those on any of the next three, are a flat top (common practice, no source). */
const FLAT_FROM = 5
const FLAT_TIMES = 5

/**
 * Samples on the largest or the smallest value where they pile up: the end of a range that nobody told. A signal that
 * turns round by itself thins out towards its ends, and a sine has at most 2.5 times as many there.
 */
function flatTop(values: readonly number[]): number {
  const counts = new Map<number, number>()
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1)
  const sorted = [...counts.keys()].sort((a, b) => a - b)
  if (sorted.length <= FLAT_FROM) return 0
  const piled = ([outermost, ...next]: readonly number[]): number => {
    const count = counts.get(outermost ?? Number.NaN) ?? 0
    const most = Math.max(...next.map((value) => counts.get(value) ?? 0))
    return count >= FLAT_FROM && count >= FLAT_TIMES * most ? count : 0
  }
  return Math.max(piled(sorted.slice(0, 4)), piled(sorted.slice(-4).reverse()))
}

/**
 * Different readings, and the smallest step between two, N: what the converter really resolves, which may be coarser than
 * a count. A signal that never moved shows no step: the channel's own stands for it, null where nothing tells that.
 */
function steps({ raws, values }: GoodSamples, { gainN, step }: CellScale) {
  const forces = new Map<number, number>()
  for (const [i, value] of values.entries()) {
    const raw = raws[i] ?? Number.NaN
    forces.set(Number.isFinite(raw) ? raw : value, value)
    if (forces.size >= MOST_DISTINCT) break
  }
  const sorted = Float64Array.from(forces.values()).sort()
  let smallest = Number.POSITIVE_INFINITY
  for (let i = 1; i < sorted.length; i += 1) smallest = Math.min(smallest, (sorted[i] ?? 0) - (sorted[i - 1] ?? 0))
  const nominal = step === 0 ? null : Math.abs(step * gainN)
  return { distinct: forces.size, step: smallest > 0 && Number.isFinite(smallest) ? smallest : nominal }
}

/** Samples that stand apart from both neighbours, the same way. */
function spikesOf(values: readonly number[], capacity: number): number {
  if (values.length < 5) return 0
  const jumps = values.slice(1).map((value, i) => Math.abs(value - (values[i] ?? value)))
  const middle = jumps.toSorted((a, b) => a - b)[Math.floor(jumps.length / 2)] ?? 0
  // Median |difference| of two normal samples is 0.954 σ.
  const limit = Math.max((SPIKE_SIGMAS * middle) / 0.954, SPIKE_SHARE * capacity)
  let count = 0
  for (let i = 1; i < values.length - 1; i += 1) {
    const [before, here, after] = [values[i - 1] ?? 0, values[i] ?? 0, values[i + 1] ?? 0]
    if ((here - before) * (here - after) > 0 && Math.min(Math.abs(here - before), Math.abs(here - after)) > limit)
      count += 1
  }
  return count
}
