import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import { leastSquares } from '../../calibration/householder.ts'
import { sideOf } from '../captured.ts'
import type { VerificationContext } from '../context.ts'
import { measured } from '../figure.ts'
import type { RunningPoint } from './running-point.ts'

interface SpeedPair {
  readonly squared: number
  readonly tension: number
  /** Measured less expected, N of web tension, and its standard uncertainty. */
  readonly off: number
  readonly u: number
}

/**
 * How much of m v² is left in the total: 0 where it is taken off rightly, −100 where it is not taken off and should be.
 *
 * off = a + b T + c v² by weighted least squares over the points: a zero shows as a, a gain or an arrow as b, so that
 * neither is taken for speed where the points are unevenly spread. u(c) from the stated uncertainties, widened by the
 * scatter about the fit where that is larger (Birge ratio; JCGM 100, H.3 for the fit). Three points or a fit that they
 * do not determine: not told.
 */
export function speedEffect(context: VerificationContext, points: readonly RunningPoint[]): RecordFigure[] {
  const told = points.flatMap((point) => speedPair(context, point))
  const pairs = told.map(({ pair }) => pair)
  const scaled = (of: (pair: SpeedPair) => number) => Float64Array.from(pairs, (pair) => of(pair) / pair.u)
  const columns = [scaled(() => 1), scaled(({ tension }) => tension), scaled(({ squared }) => squared)]
  const right = scaled(({ off }) => off)
  const fit = pairs.length > columns.length ? leastSquares(columns, right) : undefined
  const [, , slope] = fit?.beta ?? []
  if (fit === undefined || slope === undefined) return []
  const dof = pairs.length - columns.length
  const misses = right.map(
    (y, i) => y - columns.reduce((sum, column, j) => sum + (column[i] ?? 0) * (fit.beta[j] ?? 0), 0),
  )
  const birge = misses.reduce((sum, miss) => sum + miss * miss, 0) / dof
  const uSlope = Math.sqrt((fit.unitCovariance[2]?.[2] ?? Number.NaN) * Math.max(1, birge))
  const mass = told.find(({ pair }) => pair.squared > 0)?.mass ?? 0
  const common = {
    id: 'speed-effect',
    title: 'What grows with the square of speed',
    dof: birge > 1 ? dof : Number.POSITIVE_INFINITY,
    limit: null,
    formula: 'c of: measured less expected tension = a + b T + c v²',
    source: 'least squares over the points, JCGM 100, H.3; Birge ratio',
  }
  return mass > 0
    ? [measured({ ...common, value: (100 * slope) / mass, unit: '% of m v²', uRandom: (100 * uSlope) / mass })]
    : [measured({ ...common, value: slope, unit: 'N/(m/s)²', uRandom: uSlope })]
}

/** A point in newtons of web tension: force over what a newton of tension puts on the arrows. */
function speedPair({ sides }: VerificationContext, { capture, at }: RunningPoint): { pair: SpeedPair; mass: number }[] {
  if (typeof at === 'string' || at.tension === at.momentum) return []
  const forces = sides.flatMap((side) => sideOf(capture, side)?.force ?? [])
  if (forces.length < sides.length) return []
  const factor = at.total.value / (at.tension - at.momentum)
  const off = (forces.reduce((sum, { value }) => sum + value, 0) - at.total.value) / factor
  const u = Math.max(Math.hypot(...forces.map((force) => force.u)) / Math.abs(factor), 1e-9)
  const squared = at.speed ** 2
  return [{ pair: { squared, tension: at.tension, off, u }, mass: squared > 0 ? at.momentum / squared : 0 }]
}
