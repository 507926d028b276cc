import type { Side } from '../../../shared/sample.ts'
import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import { fitPolynomial } from '../../calibration/polynomial-fit.ts'
import { SIDE_WORDS } from '../../geometry/sided.ts'
import { sideOf } from '../captured.ts'
import { cellScale, type VerificationContext } from '../context.ts'
import { measured, type Part, repeats } from '../figure.ts'
import type { RunningPoint } from './running-point.ts'

/** What a straight line through the points says of each side: a share, a constant part, and how the sides differ. */
export function linesOverPoints(context: VerificationContext, points: readonly RunningPoint[]): RecordFigure[] {
  const fits = context.sides.flatMap((side) => {
    const fit = lineOf(context, points, side)
    return fit === undefined ? [] : [fit]
  })
  const [drive, operator] = fits
  return [
    ...fits.flatMap(({ side, slope, offset, uSlope, uOffset, parts, n }) => [
      measured({
        id: 'slope-error',
        title: 'Share by which it is off',
        side,
        value: slope,
        unit: '%',
        uRandom: uSlope,
        dof: Math.max(1, n - 2),
        parts,
        limit: null,
        averaging: repeats(n, 'points'),
        formula: 'slope of measured over expected force, less 1',
        source: 'least squares over the points, JCGM 100, H.3',
      }),
      measured({
        id: 'offset',
        title: 'Constant part by which it is off',
        side,
        value: offset,
        unit: 'N',
        uRandom: uOffset,
        dof: Math.max(1, n - 2),
        parts: [{ name: 'zero of the channel', contribution: cellScale(context, side).zeroUN }],
        limit: null,
        formula: 'measured force where nothing is expected, by the same line',
        source: 'least squares over the points, JCGM 100, H.3',
      }),
    ]),
    ...(drive !== undefined && operator !== undefined && fits.length === 2
      ? [
          measured({
            id: 'slope-imbalance',
            title: 'Share: operator side less drive side',
            value: operator.slope - drive.slope,
            unit: '%',
            uRandom: Math.hypot(operator.uSlope, drive.uSlope),
            dof: Math.max(1, Math.min(operator.n, drive.n) - 2),
            parts: [...operator.parts.slice(0, 1), ...drive.parts.slice(0, 1)],
            limit: null,
            formula: 'difference of both slopes',
            source: 'least squares over the points',
          }),
          measured({
            id: 'offset-difference',
            title: 'Offset: operator side less drive side',
            value: operator.offset - drive.offset,
            unit: 'N',
            uRandom: Math.hypot(operator.uOffset, drive.uOffset),
            dof: Math.max(1, Math.min(operator.n, drive.n) - 2),
            parts: [operator.side, drive.side].map((side) => ({
              name: `zero of the ${SIDE_WORDS[side]}`,
              contribution: cellScale(context, side).zeroUN,
            })),
            limit: null,
            formula: 'difference of both offsets',
            source: 'least squares over the points',
          }),
        ]
      : []),
  ]
}

interface SideLine {
  readonly side: Side
  readonly slope: number
  readonly offset: number
  readonly uSlope: number
  readonly uOffset: number
  readonly parts: readonly Part[]
  readonly n: number
}

function lineOf(context: VerificationContext, points: readonly RunningPoint[], side: Side): SideLine | undefined {
  const pairs = points.flatMap(({ capture, at }) => {
    const force = sideOf(capture, side)?.force
    if (force == null || typeof at === 'string') return []
    return [
      {
        x: at.side(side).value,
        y: force.value,
        u: Math.max(force.u, 1e-9),
        relative: at.side(side).u / Math.abs(at.side(side).value),
      },
    ]
  })
  const fit = fitPolynomial(pairs, { degree: 1, intercept: true })
  if (fit === undefined) return undefined
  const [offset = 0, slope = 0] = fit.coefficients
  const stated = Math.max(...pairs.map(({ u }) => u))
  const spread = Math.max(...pairs.map(({ x }) => x)) - Math.min(...pairs.map(({ x }) => x))
  const uSlope = Math.sqrt(fit.covariance?.[1]?.[1] ?? (stated / Math.max(spread, 1e-9)) ** 2)
  const uOffset = Math.sqrt(fit.covariance?.[0]?.[0] ?? stated ** 2)
  return {
    side,
    slope: 100 * (slope - 1),
    offset,
    uSlope: 100 * uSlope,
    uOffset,
    parts: [
      { name: `gain of the ${SIDE_WORDS[side]}`, contribution: 100 * cellScale(context, side).gainU },
      { name: 'what is expected', contribution: 100 * Math.max(...pairs.map(({ relative }) => relative)) },
    ],
    n: pairs.length,
  }
}
