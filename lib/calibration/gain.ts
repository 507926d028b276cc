import { effectiveDof } from '../statistics/effective-dof.ts'
import type { UncertaintyInput } from '../statistics/systematic.ts'
import type { Uncertain } from '../uncertainty/uncertain.ts'
import type { CalibrationContext } from './context.ts'
import { type CalibrationOutcome, type CalibrationQuantity, plainInput } from './figure.ts'
import { asInput, type ForceContribution } from './known-force.ts'
import { slopeSensitivities } from './line.ts'
import { halfDifferenceSlope, halfDifferences } from './up-down.ts'

/** Friction of rope and bearings as a share of the force, 1 σ, where a series was read one way only (common practice). */
const UNSEEN_FRICTION = 0.005

/**
 * Found gain, N per unit of the signal: 1/b.
 *
 * Random part from the line; the rest is what no repeating removes: the force scale (mass, gravity, force factor,
 * share), the directions not read, the step of the reading (independent from level to level, because a steady
 * signal rounds the same way every time: JCGM 100, F.2.2.1), and in a series read one way only the friction
 * nobody saw (common practice, no source). A half-difference that its own scatter explains is scatter: its part
 * joins the random one with the degrees of freedom of the pairs it stands on (JCGM 100, G.4.1).
 */
export function gain(
  context: CalibrationContext,
  unit: string,
  scale: readonly ForceContribution[],
): CalibrationQuantity {
  const { line, points } = context
  const value = 1 / line.slope
  const perSlope = Math.abs(value / line.slope)
  const direction = directionPart(context, unit, value)
  return {
    value,
    ...randomOf(context, perSlope, direction),
    systematic: [
      ...scale.filter(({ relative }) => relative > 0).map((contribution) => asInput(contribution, value)),
      ...(direction !== undefined && direction.scatterDof === null ? [direction.input] : []),
      ...stepInput(context, unit, perSlope),
    ],
    inputs: [
      plainInput('slope', line.slope, `${unit}/N`),
      plainInput('points', points.length, '1'),
      plainInput('residual standard deviation', line.fit.residualSd ?? null, unit),
    ],
  }
}

function randomOf({ line }: CalibrationContext, perSlope: number, direction: DirectionPart | undefined) {
  if (line.random === undefined) return { uRandom: undefined, dof: Number.POSITIVE_INFINITY }
  const parts = [{ u: perSlope * line.random.slope, dof: line.random.dof }]
  if (direction !== undefined && direction.scatterDof !== null)
    parts.push({ u: direction.input.contribution, dof: direction.scatterDof })
  return { uRandom: Math.hypot(...parts.map(({ u }) => u)), dof: effectiveDof(parts) }
}

interface DirectionPart {
  readonly input: UncertaintyInput
  /** Degrees of freedom where it is scatter; null where it is systematic. */
  readonly scatterDof: number | null
}

/** What weights read one way only leave open; undefined when every one was read both ways. */
function directionPart(context: CalibrationContext, unit: string, value: number): DirectionPart | undefined {
  const { line, points, levels } = context
  const slope = halfDifferenceSlope(halfDifferences(levels))
  if (slope === undefined) {
    const name = 'friction of rope and bearings, not seen in one direction (common practice)'
    const contribution = Math.abs(value) * UNSEEN_FRICTION
    return { input: { name, value: 0, unit: '%', u: 100 * UNSEEN_FRICTION, contribution }, scatterDof: null }
  }
  const largest = points.reduce((most, { uDirection }) => Math.max(most, Math.abs(uDirection)), 0)
  if (largest === 0) return undefined
  const sensitivities = slopeSensitivities(line, points)
  const onSlope = points.reduce((sum, { uDirection }, i) => sum + uDirection * (sensitivities[i] ?? 0), 0)
  const contribution = Math.abs((value / line.slope) * onSlope)
  const input = { name: 'weights read in one direction only', value: 0, unit, u: largest, contribution }
  return { input, scatterDof: slope.isSeen ? null : slope.pairs }
}

function stepInput({ line, points, levels, resolution }: CalibrationContext, unit: string, perSlope: number) {
  if (resolution === 0) return []
  const sensitivities = slopeSensitivities(line, points)
  const ofLevels = levels.map(({ force }) =>
    points.reduce((sum, point, i) => sum + (point.force === force ? (sensitivities[i] ?? 0) : 0), 0),
  )
  const u = resolution / Math.sqrt(12)
  const contribution = perSlope * u * Math.hypot(...ofLevels)
  return [{ name: 'resolution of the reading', value: resolution, unit, u, contribution }]
}

/** Found against expected gain, in %: 100·(found/expected − 1), with the uncertainty of both (JCGM 100, 5.1.6). */
export function gainDifference(found: CalibrationQuantity, expected: Uncertain, unit: string): CalibrationOutcome {
  const ratio = found.value / expected.value
  const toPercent = 100 / Math.abs(expected.value)
  return {
    kind: 'told',
    quantity: {
      value: 100 * (ratio - 1),
      uRandom: found.uRandom === undefined ? undefined : found.uRandom * toPercent,
      dof: found.dof,
      systematic: [
        ...found.systematic.map((input) => ({ ...input, contribution: input.contribution * toPercent })),
        {
          name: 'expected gain',
          value: expected.value,
          unit: `N/${unit}`,
          u: expected.u,
          contribution: Math.abs((100 * ratio * expected.u) / expected.value),
        },
      ],
      inputs: [plainInput('found gain', found.value, `N/${unit}`)],
    },
  }
}
