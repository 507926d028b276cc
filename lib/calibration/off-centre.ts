import type { ComputedFigure } from '../../shared/schemas/computed-figure.ts'
import type { UncertaintyInput } from '../statistics/systematic.ts'
import type { Uncertain } from '../uncertainty/uncertain.ts'
import { type CalibrationOutcome, calibrationFigure, cannot, plainInput } from './figure.ts'
import { CALIBRATION_FORMULAS } from './formulas.ts'
import type { CalibrationLimits } from './limits.ts'
import { fitPolynomial, type PolynomialFit } from './polynomial-fit.ts'

/** Both sides with the same weight at one place across the roller; forces along the arrows, bare roller 0. */
export interface OffCentreReading {
  /** From mid-span, towards the operator side, m. */
  readonly position: number
  readonly driveSideN: number
  readonly operatorSideN: number
  /** Standard uncertainty of each side's reading, N. */
  readonly u?: number
}

export interface OffCentreInput {
  readonly readings: readonly OffCentreReading[]
  /** Force along both arrows together that the weight makes, N. */
  readonly force: Uncertain
  /** Distance between the cells, m. */
  readonly cellDistance: Uncertain
  /** Standard uncertainty of the distance between two positions of the rope, m. */
  readonly uPosition: number
}

export interface OffCentreCheck {
  readonly sumMovement: ComputedFigure
  readonly differenceSlope: ComputedFigure
  readonly imbalanceSlope: ComputedFigure
  /** Found and expected slopes: newtons per metre and per metre; null when they cannot be told. */
  readonly found: { readonly differencePerMetre: number | null; readonly imbalancePerMetre: number | null }
  readonly expected: { readonly differencePerMetre: number; readonly imbalancePerMetre: number }
}

/**
 * Off-centre check: the same weight at two or more places across the roller. The sum must not move; the difference
 * must move by 2F/L and the imbalance by 2/L, per metre (moments about mid-span).
 *
 * Each quantity is fitted by a straight line in the position. With two places and no stated uncertainty the slopes
 * are told and the verdicts are unknown. Fewer than two different places: nothing can be told.
 */
export function offCentreCheck(input: OffCentreInput, limits: CalibrationLimits): OffCentreCheck {
  const { readings, force, cellDistance } = input
  const sum = lineOver(
    readings,
    (r) => r.operatorSideN + r.driveSideN,
    () => Math.SQRT2,
  )
  const difference = lineOver(
    readings,
    (r) => r.operatorSideN - r.driveSideN,
    () => Math.SQRT2,
  )
  const imbalance = readings.some((r) => r.operatorSideN + r.driveSideN === 0)
    ? undefined
    : lineOver(readings, imbalanceOf, imbalanceU)
  const expected = {
    differencePerMetre: (2 * force.value) / cellDistance.value,
    imbalancePerMetre: 2 / cellDistance.value,
  }
  const repeats = {
    count: Math.max(1, readings.length),
    words: ['reading at each place', 'readings at each place'],
  } as const
  const figure = (name: 'sumMovement' | 'differenceSlope' | 'imbalanceSlope', outcome: CalibrationOutcome) =>
    calibrationFigure(outcome, { unit: '%', why: CALIBRATION_FORMULAS[name], limit: limits[name], repeats })
  const distances = [distanceInput(cellDistance), positionInput(input)]
  const forceInput = {
    name: 'force of the weight',
    value: force.value,
    unit: 'N',
    u: force.u,
    relative: force.u / Math.abs(force.value),
  }
  return {
    sumMovement: figure('sumMovement', sumMovement(sum, readings)),
    differenceSlope: figure(
      'differenceSlope',
      against(difference, expected.differencePerMetre, 'N/m', [...distances, forceInput]),
    ),
    imbalanceSlope: figure('imbalanceSlope', against(imbalance, expected.imbalancePerMetre, '1/m', distances)),
    found: { differencePerMetre: slopeOf(difference), imbalancePerMetre: slopeOf(imbalance) },
    expected,
  }
}

const slopeOf = (fit: PolynomialFit | undefined): number | null => fit?.coefficients[1] ?? null

const imbalanceOf = (r: OffCentreReading): number => (r.operatorSideN - r.driveSideN) / (r.operatorSideN + r.driveSideN)

/** u(I)/u of a side, sides independent: 2√(OS² + DS²)/sum² (JCGM 100, 5.1.2). */
const imbalanceU = (r: OffCentreReading): number =>
  (2 * Math.hypot(r.operatorSideN, r.driveSideN)) / (r.operatorSideN + r.driveSideN) ** 2

function lineOver(
  readings: readonly OffCentreReading[],
  quantity: (r: OffCentreReading) => number,
  perU: (r: OffCentreReading) => number,
): PolynomialFit | undefined {
  const points = readings.map((r) => ({
    x: r.position,
    y: quantity(r),
    ...(r.u === undefined ? {} : { u: r.u * perU(r) }),
  }))
  return fitPolynomial(points, { degree: 1, intercept: true })
}

const FEW_PLACES = 'the off-centre check needs the weight at two different places across the roller'

function sumMovement(fit: PolynomialFit | undefined, readings: readonly OffCentreReading[]): CalibrationOutcome {
  const mean = readings.reduce((sum, r) => sum + r.operatorSideN + r.driveSideN, 0) / readings.length
  if (fit === undefined) return cannot(FEW_PLACES)
  if (mean === 0) return cannot('the sum of both sides is 0: there is no weight to see move')
  const places = readings.map(({ position }) => position)
  const width = Math.max(...places) - Math.min(...places)
  return {
    kind: 'told',
    quantity: {
      value: (100 * (slopeOf(fit) ?? 0) * width) / mean,
      ...randomSlope(fit, Math.abs((100 * width) / mean)),
      systematic: [],
      inputs: [plainInput('mean sum', mean, 'N'), plainInput('outermost places apart', width, 'm')],
    },
  }
}

interface RelativeInput {
  readonly name: string
  readonly value: number
  readonly unit: string
  readonly u: number
  readonly relative: number
}

function against(
  fit: PolynomialFit | undefined,
  expected: number,
  unit: string,
  relatives: readonly RelativeInput[],
): CalibrationOutcome {
  const slope = slopeOf(fit)
  if (fit === undefined || slope === null) return cannot(FEW_PLACES)
  const ratio = slope / expected
  const systematic: UncertaintyInput[] = relatives
    .filter(({ relative }) => relative > 0)
    .map(({ relative, ...input }) => ({ ...input, contribution: 100 * Math.abs(ratio) * relative }))
  return {
    kind: 'told',
    quantity: {
      value: 100 * (ratio - 1),
      ...randomSlope(fit, Math.abs(100 / expected)),
      systematic,
      inputs: [plainInput('found', slope, unit), plainInput('expected', expected, unit)],
    },
  }
}

function randomSlope(fit: PolynomialFit, sensitivity: number) {
  const variance = fit.covariance?.[1]?.[1]
  return { uRandom: variance === undefined ? undefined : Math.sqrt(variance) * sensitivity, dof: fit.dof }
}

const distanceInput = ({ value, u }: Uncertain): RelativeInput => ({
  name: 'distance between the cells',
  value,
  unit: 'm',
  u,
  relative: u / value,
})

function positionInput({ readings, uPosition }: OffCentreInput): RelativeInput {
  const places = readings.map(({ position }) => position)
  const width = Math.max(...places) - Math.min(...places)
  const relative = width > 0 ? uPosition / width : 0
  return { name: 'distance between the places of the rope', value: width, unit: 'm', u: uPosition, relative }
}
