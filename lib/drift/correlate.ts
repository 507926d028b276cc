import type { CorrelationResult, DriftQuantity } from '../../shared/schemas/shift.ts'
import { BivariateMoments } from '../statistics/bivariate-moments.ts'
import { straightLineOf } from '../statistics/line-moments.ts'
import { studentTwoTail } from '../statistics/student-t.ts'
import { shortNumber } from '../statistics/words.ts'

/** Fewest pairs, and the least scatter of the other quantity (of its range), from which a correlation is told (common practice, no source). */
const LEAST_PAIRS = 30
const LEAST_RANGE = { temperature: 0.5, speed: 0.05 } as const

const CORRELATION_CAVEAT =
  'Correlation under a shared trend is no proof of a cause: two things that both change over a shift agree by that alone. Only the part without the trend counts here, by the number of independent values; the proof is to change the one and watch the other.'

export interface Pairs {
  readonly hours: readonly number[]
  /** The quantity, and what it may follow. */
  readonly y: readonly number[]
  readonly x: readonly number[]
}

/**
 * Pearson's correlation as measured and with a straight line in time taken off both, the latter tested by Student's t
 * with the effective number of values n(1 − r₁r₂)/(1 + r₁r₂), r₁ and r₂ their lag-1 autocorrelations (G. V. Bayley,
 * J. M. Hammersley 1946; C. S. Bretherton et al., J. Climate 12 (1999) 1990–2009). Undefined with fewer than 30 pairs, or
 * where the other quantity hardly moved.
 */
export function correlate(
  quantity: DriftQuantity,
  unit: string,
  other: CorrelationResult['with'],
  { hours, y, x }: Pairs,
): CorrelationResult | undefined {
  const n = x.length
  if (n < LEAST_PAIRS || !(Math.max(...x) - Math.min(...x) >= LEAST_RANGE[other])) return undefined
  const [flatX, flatY] = [detrended(hours, x), detrended(hours, y)]
  const r = pearson(moments(x, y))
  const flat = moments(flatX, flatY)
  const rDetrended = pearson(flat)
  if (Number.isNaN(r) || Number.isNaN(rDetrended)) return undefined
  const memory = Math.max(0, lag1(flatX) * lag1(flatY))
  const effectiveN = (n * (1 - memory)) / (1 + memory)
  const p = pValue(rDetrended, effectiveN)
  return {
    quantity,
    with: other,
    r,
    rDetrended,
    p,
    n,
    effectiveN,
    slope: flat.mxy / flat.mxx,
    sentence: sentenceOf(other, unit, p, flat.mxy / flat.mxx),
    caveat: CORRELATION_CAVEAT,
  }
}

function sentenceOf(other: CorrelationResult['with'], unit: string, p: number, slope: number): string {
  if (p > 0.05) return `Apart from the trend it does not follow the ${other} beyond chance.`
  const per = other === 'temperature' ? 'K' : 'm/s'
  return `Apart from the trend it goes with the ${other}: ${shortNumber(slope)} ${unit} per ${per}.`
}

function pValue(r: number, effectiveN: number): number {
  const dof = effectiveN - 2
  if (!(dof > 0)) return 1
  if (Math.abs(r) >= 1) return 0
  const t = Math.abs(r) * Math.sqrt(dof / (1 - r * r))
  return t === 0 ? 1 : studentTwoTail(t, dof)
}

function detrended(hours: readonly number[], values: readonly number[]): number[] {
  const line = straightLineOf(moments(hours, values))
  if (line === undefined) return [...values]
  return values.map((value, i) => value - line.intercept - line.slope * (hours[i] as number))
}

function moments(x: readonly number[], y: readonly number[]): BivariateMoments {
  const all = new BivariateMoments()
  for (let i = 0; i < x.length; i += 1) all.add(x[i] as number, y[i] as number)
  return all
}

/** NaN where either does not vary. */
const pearson = ({ mxx, myy, mxy }: BivariateMoments): number =>
  mxx > 0 && myy > 0 ? Math.max(-1, Math.min(1, mxy / Math.sqrt(mxx * myy))) : Number.NaN

/** Of a series of mean 0. */
function lag1(values: readonly number[]): number {
  let product = 0
  let square = 0
  for (let i = 0; i < values.length; i += 1) {
    square += (values[i] as number) ** 2
    if (i > 0) product += (values[i] as number) * (values[i - 1] as number)
  }
  return square === 0 ? 0 : product / square
}
