import type { ComputedFigure } from '../../shared/schemas/computed-figure.ts'
import { shortNumber } from '../statistics/words.ts'
import type { Uncertain } from '../uncertainty/uncertain.ts'
import { type CalibrationContext, scattersOf } from './context.ts'
import { type CalibrationFigureSpec, type CalibrationOutcome, calibrationFigure, cannot, plainInput } from './figure.ts'
import { CALIBRATION_FORMULAS } from './formulas.ts'
import { gain, gainDifference } from './gain.ts'
import { hysteresis, upDownHalfDifference } from './hysteresis.ts'
import type { ForceContribution } from './known-force.ts'
import { type CalibrationLimits, DEFAULT_CALIBRATION_LIMITS } from './limits.ts'
import { bowOf, type CalibrationLine, calibrationLine } from './line.ts'
import { nonlinearity } from './nonlinearity.ts'
import { type CalibrationPoint, calibrationPoints } from './points.ts'
import { predict } from './prediction.ts'
import { repeatability } from './repeatability.ts'
import { type CalibrationReading, cycleCount, type Level, levelsOf } from './series.ts'
import { zeroReturn } from './zero-return.ts'

export interface CalibrationOptions {
  /** Unit of the readings: mA, V, mV/V, counts. */
  readonly unit: string
  /** Uncertainty common to every force of the series; see `forcePerKilogram`. */
  readonly forceScale: readonly ForceContribution[]
  /** Step of the reading, in its unit; 0 for none. */
  readonly resolution: number
  /** Force from bare roller to the largest tension, N; null takes the largest force of the series. */
  readonly spanN: number | null
  /** The gain the cell should have, N per unit; null when none is expected. */
  readonly expectedGain: Uncertain | null
  readonly limits: Partial<CalibrationLimits>
}

/** One force of the series, for a plot of the fit and of the residuals. */
interface CalibrationRow {
  readonly force: number
  readonly cycle: number
  /** Mean of up and down, as fitted. */
  readonly reading: number
  readonly fitted: number
  /** % of span. */
  readonly residualPercent: number
}

export interface Calibration {
  /** The line, as numbers to use; null when the forces do not make one. */
  readonly line: CalibrationLine | null
  readonly spanN: number | null
  readonly rows: readonly CalibrationRow[]
  readonly gain: ComputedFigure
  readonly zero: ComputedFigure
  /** Null when no gain is expected. */
  readonly gainDifference: ComputedFigure | null
  readonly nonlinearity: ComputedFigure
  readonly hysteresis: ComputedFigure
  /** Friction of rope and bearings plus hysteresis, % of the force. */
  readonly halfDifference: ComputedFigure
  readonly repeatability: ComputedFigure
  readonly zeroReturn: ComputedFigure
  readonly bow: ComputedFigure
  /** What a reader must know beside the figures. */
  readonly notes: readonly string[]
}

/**
 * A known-weight calibration of one cell, from readings up and down in one or more cycles.
 *
 * The line goes through the means of up and down by least squares; each figure says by what definition it was got
 * and is judged by the one rule. A figure whose readings are missing has no value and says what it needs; it is
 * never 0. Order of the readings does not matter. Readings and forces must be finite.
 */
export function calibrate(readings: readonly CalibrationReading[], options: CalibrationOptions): Calibration {
  const levels = levelsOf(readings)
  const points = calibrationPoints(levels)
  const line = calibrationLine(points)
  const repeats = { count: Math.max(1, cycleCount(levels)), words: ['cycle', 'cycles'] } as const
  const figures = new FigureMaker(options, repeats)
  if (line === undefined || isLevel(line, points)) return withoutLine(levels, points, figures, line !== undefined)
  const spanN = options.spanN ?? Math.max(...levels.map(({ force }) => Math.abs(force)))
  const spanReading = Math.abs(line.slope) * spanN
  const context: CalibrationContext = {
    levels,
    points,
    line,
    ...scattersOf(levels, points),
    resolution: options.resolution,
    spanReading,
    spanN,
  }
  const { unit } = options
  const found = gain(context, unit, options.forceScale)
  return {
    line,
    spanN,
    rows: points.map((point) => rowOf(point, line, spanReading)),
    gain: figures.told('gain', { kind: 'told', quantity: found }, `N/${unit}`),
    zero: figures.told('zero', zeroOutcome(context), unit),
    gainDifference:
      options.expectedGain === null
        ? null
        : figures.judged('gainDifference', 'gain', gainDifference(found, options.expectedGain, unit)),
    nonlinearity: figures.judged('nonlinearity', 'nonlinearity', nonlinearity(context, unit)),
    hysteresis: figures.judged('hysteresis', 'hysteresis', hysteresis(context, unit)),
    halfDifference: figures.told('halfDifference', upDownHalfDifference(context), '%'),
    repeatability: figures.judged('repeatability', 'repeatability', repeatability(context, unit)),
    zeroReturn: figures.judged('zeroReturn', 'zeroReturn', zeroReturn(context, unit)),
    bow: figures.told('bow', bowOutcome(context), '%'),
    notes: notesOn(context),
  }
}

/** A reading that moves by no more than rounding, or by so little that nobody could call it a gain. */
function isLevel({ slope }: CalibrationLine, points: readonly CalibrationPoint[]): boolean {
  const largest = Math.max(...points.map(({ reading }) => Math.abs(reading)))
  const range = Math.max(...points.map(({ force }) => Math.abs(force)))
  return !(Math.abs(slope) * range > 1e-12 * largest) || !(Math.abs(slope) > 1e-30)
}

/** Makes figures with their formula, limit and repeats. */
class FigureMaker {
  readonly #limits: CalibrationLimits
  readonly #repeats: CalibrationFigureSpec['repeats']

  constructor({ limits }: CalibrationOptions, repeats: CalibrationFigureSpec['repeats']) {
    this.#limits = { ...DEFAULT_CALIBRATION_LIMITS, ...limits }
    this.#repeats = repeats
  }

  told(name: keyof typeof CALIBRATION_FORMULAS, outcome: CalibrationOutcome, unit: string): ComputedFigure {
    return calibrationFigure(outcome, { unit, why: CALIBRATION_FORMULAS[name], limit: null, repeats: this.#repeats })
  }

  judged(
    name: keyof typeof CALIBRATION_FORMULAS,
    limit: keyof CalibrationLimits,
    outcome: CalibrationOutcome,
  ): ComputedFigure {
    const spec = { unit: '%', why: CALIBRATION_FORMULAS[name], limit: this.#limits[limit], repeats: this.#repeats }
    return calibrationFigure(outcome, spec)
  }
}

function withoutLine(
  levels: readonly Level[],
  points: readonly CalibrationPoint[],
  figures: FigureMaker,
  flat: boolean,
): Calibration {
  const why = flat
    ? 'the reading does not change with the force'
    : `a line needs two different forces, ${levels.length} read`
  const none = cannot(why)
  return {
    line: null,
    spanN: null,
    rows: [],
    gain: figures.told('gain', none, 'N'),
    zero: figures.told('zero', none, ''),
    gainDifference: figures.judged('gainDifference', 'gain', none),
    nonlinearity: figures.judged('nonlinearity', 'nonlinearity', none),
    hysteresis: figures.judged('hysteresis', 'hysteresis', none),
    halfDifference: figures.told('halfDifference', none, '%'),
    repeatability: figures.judged('repeatability', 'repeatability', none),
    zeroReturn: figures.judged('zeroReturn', 'zeroReturn', none),
    bow: figures.told('bow', none, '%'),
    notes: points.length === 0 ? [] : [`${why.charAt(0).toUpperCase()}${why.slice(1)}.`],
  }
}

function rowOf(
  { force, cycle, reading }: CalibrationPoint,
  line: CalibrationLine,
  spanReading: number,
): CalibrationRow {
  const fitted = predict(line.fit, force).value
  return { force, cycle, reading, fitted, residualPercent: (100 * (reading - fitted)) / spanReading }
}

function zeroOutcome({ line, resolution }: CalibrationContext): CalibrationOutcome {
  const u = resolution / Math.sqrt(12)
  const step = { name: 'resolution of the reading', value: resolution, unit: '', u, contribution: u }
  return {
    kind: 'told',
    quantity: {
      value: line.zero,
      uRandom: line.random?.zero,
      dof: line.random?.dof ?? Number.POSITIVE_INFINITY,
      systematic: resolution > 0 ? [step] : [],
      inputs: [],
    },
  }
}

function bowOutcome({ points, spanReading }: CalibrationContext): CalibrationOutcome {
  const bow = bowOf(points)
  if (bow === undefined) return cannot('what the line leaves over needs three different forces and four points')
  const toPercent = 100 / spanReading
  return {
    kind: 'told',
    quantity: {
      value: bow.height * toPercent,
      uRandom: bow.u * toPercent,
      dof: bow.dof,
      systematic: [],
      inputs: [plainInput('points', points.length, '1')],
    },
  }
}

function notesOn(context: CalibrationContext): string[] {
  const { levels, points, line, spanN } = context
  const notes: string[] = []
  if (levels.length < 4) notes.push('Fewer than three weights besides the zero: take at least three, better five.')
  if (cycleCount(levels) < 3) notes.push('Fewer than three cycles: take three.')
  if (points.some(({ uDirection }) => uDirection !== 0))
    notes.push(
      'A weight read in one direction only was corrected by half of the up-down difference expected there: read it both ways, coming from less and coming from more.',
    )
  if (line.bends)
    notes.push(
      'The levels miss the straight line by more than the readings scatter: look at the residuals; the uncertainty of the gain follows the misses.',
    )
  const highest = Math.max(...levels.map(({ force }) => Math.abs(force)))
  if (highest < 0.999 * spanN)
    notes.push(
      `The largest weight reaches ${shortNumber((100 * highest) / spanN)} % of the span: above it the line is an extrapolation.`,
    )
  return notes
}
