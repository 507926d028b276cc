import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { leastSquares } from '../calibration/householder.ts'
import { effectiveDof } from '../statistics/effective-dof.ts'
import type { DriftEstimate } from './drift-estimate.ts'
import { hoursOf, type MinuteSeries, minuteSeries } from './minute-series.ts'
import { longRunOf } from './noise-memory.ts'
import { medianOf } from './select.ts'

/** Expected tensions must differ by this share of their median to tell a ratio from an offset (common practice, no source). */
export const LEAST_TENSION_SPREAD = 0.2

/** Drift of the ratio of measured to expected alone, % an hour. */
export interface SpanDrift {
  readonly rate: number
  readonly u: number
  readonly dof: number
  readonly by: 'tensions' | 'zero'
}

/**
 * Two tensions at two times tell how the ratio moves apart from the offset: least squares of (measured − expected) on
 * 1, t, T and t·T, the last coefficient being the drift of the ratio. Undefined where the expected tension hardly
 * differs, or differs only together with time.
 */
export function spanDriftByTensions(minutes: readonly ZoneMinute[]): SpanDrift | undefined {
  const usable = minutes.filter(
    ({ residual, expected }) => typeof residual === 'number' && typeof expected === 'number',
  )
  const tensions = usable.map(({ expected }) => expected as number)
  const usual = medianOf(Float64Array.from(tensions))
  if (!(Math.max(...tensions) - Math.min(...tensions) >= LEAST_TENSION_SPREAD * Math.abs(usual))) return undefined
  const series = minuteSeries(usable, ({ residual, expected }) => ((residual ?? 0) * (expected ?? 0)) / 100)
  if (series.y.length !== usable.length) return undefined
  const x = hoursOf(series)
  const middle = (x.at(-1) ?? 0) / 2
  const columns = [
    Float64Array.from(x, () => 1),
    Float64Array.from(x, (h) => h - middle),
    Float64Array.from(tensions, (t) => t / usual - 1),
    Float64Array.from(tensions, (t, i) => (t / usual) * ((x[i] as number) - middle)),
  ]
  return fitted(series, columns, usual)
}

function fitted(series: MinuteSeries, columns: readonly Float64Array[], usual: number): SpanDrift | undefined {
  const fit = leastSquares(columns, Float64Array.from(series.y))
  if (fit === undefined) return undefined
  const left = series.y.map(
    (y, i) => y - columns.reduce((sum, column, j) => sum + (column[i] ?? 0) * (fit.beta[j] ?? 0), 0),
  )
  const longRun = longRunOf({ ...series, y: left }, 'line')
  if (longRun === undefined) return undefined
  const perPercent = 100 / usual
  const variance = longRun.perPoint * (fit.unitCovariance[3]?.[3] ?? Number.NaN)
  return {
    rate: perPercent * (fit.beta[3] ?? 0),
    u: Math.abs(perPercent) * Math.sqrt(variance),
    // Tension and its product with time are fitted beside the line: two degrees of freedom fewer.
    dof: Math.max(1, longRun.dof - 2),
    by: 'tensions',
  }
}

/** At one tension: what the agreement drifts beyond what the zero does. @param zero of the total, N an hour */
export function spanDriftByZero(agreement: DriftEstimate, zero: DriftEstimate, expectedN: number): SpanDrift {
  const ofZero = 100 / expectedN
  const parts = [
    { u: agreement.u, dof: agreement.dof },
    { u: Math.abs(ofZero) * zero.u, dof: zero.dof },
  ]
  return {
    rate: agreement.rate - ofZero * zero.rate,
    u: Math.hypot(...parts.map(({ u }) => u)),
    dof: effectiveDof(parts),
    by: 'zero',
  }
}
