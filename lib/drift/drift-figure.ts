import { epochMs, monotonicMs } from '../../shared/brand.ts'
import type { Figure, FigureLimit } from '../../shared/schemas/now.ts'
import type { Drift, DriftQuantity, TrendTest } from '../../shared/schemas/shift.ts'
import type { UncertaintyInput } from '../statistics/systematic.ts'
import { type Outcome, waiting } from '../statistics/zone-snapshot.ts'
import { expandedUncertainty } from '../uncertainty/coverage-factor.ts'
import { type FigureSpec, figureOf } from '../verdicts/figure.ts'
import type { FigureFormula } from '../verdicts/formulas.ts'
import type { DriftEstimate } from './drift-estimate.ts'
import { forecastOf } from './forecast.ts'
import { type MinuteSeries, minutesBehind } from './minute-series.ts'

/** A rate however it was got, with what it rests on. */
export interface RateTold {
  readonly rate: number
  readonly u: number
  readonly dof: number
  readonly fromMs: number
  readonly toMs: number
  readonly minutes: number
  readonly effectiveN: number | null
  readonly inputs: readonly UncertaintyInput[]
}

export interface DriftSpec {
  readonly quantity: DriftQuantity
  readonly unit: Drift['unit']
  readonly rateUnit: Figure['unit']
  /** What a rate in the quantity's unit counts in the rate's: 100/span for a zero in % of span, else 1. */
  readonly scale: number
  readonly formula: FigureFormula
  /** Null: for information. */
  readonly rateLimit: FigureLimit | null
  /** Of the quantity itself; null when it has none. */
  readonly limit: FigureLimit | null
}

/** A drift that is not told yet. */
export function waitingDrift(spec: DriftSpec, what: string): Drift {
  return drift(spec, waiting(what), null)
}

/** A rate without a line to draw. */
export function rateDrift(spec: DriftSpec, told: RateTold): Drift {
  return drift(spec, outcomeOf(spec, told), null)
}

/** The drift of one series. */
export function seriesDrift(spec: DriftSpec, series: MinuteSeries, estimate: DriftEstimate): Drift {
  const { rate, u, dof, effectiveN, longRun } = estimate
  const minutes = minutesBehind(series)
  const half = series.widthMs / 2
  const [fromMs, toMs] = [(series.tMs[0] ?? 0) - half, (series.tMs.at(-1) ?? 0) + half]
  const inputs = [
    plain('scatter of single minutes', longRun.memory.sd, spec.unit),
    plain('autocorrelation from one minute to the next', longRun.memory.lag1, '1'),
  ]
  const outcome = outcomeOf(spec, { rate, u, dof, fromMs, toMs, minutes, effectiveN, inputs })
  return drift(spec, outcome, { estimate, fromMs: estimate.levelFromMs - half, toMs })
}

interface Line {
  readonly estimate: DriftEstimate
  readonly fromMs: number
  readonly toMs: number
}

function drift(spec: DriftSpec, outcome: Outcome, line: Line | null): Drift {
  const rate = figureOf(outcome, figureSpec(spec), (t) => epochMs(t))
  const { value, U } = rate
  const [low, high] = value === null || U === null ? [null, null] : [value - U, value + U]
  return {
    quantity: spec.quantity,
    unit: spec.unit,
    rate,
    low,
    high,
    line: line === null ? null : lineOf(line),
    trend: trendOf(line),
    forecast: line === null ? null : forecast(spec, line),
  }
}

const trendOf = (line: Line | null): TrendTest | null => line?.estimate.trend ?? null

function figureSpec({ rateUnit, formula, rateLimit }: DriftSpec): FigureSpec {
  const averaging = {
    longestSeconds: Number.POSITIVE_INFINITY,
    power: 3,
    setting: 'the stretch asked for',
    mostSettableSeconds: Number.POSITIVE_INFINITY,
  } as const
  return { unit: rateUnit, why: formula, judged: rateLimit === null ? null : { limit: rateLimit, averaging } }
}

function outcomeOf({ scale }: DriftSpec, told: RateTold): Outcome {
  const { rate, u, dof, fromMs, toMs, minutes, effectiveN, inputs } = told
  return {
    kind: 'told',
    quantity: {
      value: scale * rate,
      uRandom: Math.abs(scale) * u,
      dof,
      // A constant error of gain, zero or geometry shifts what drifts and not its rate.
      systematic: [],
      inputs: [plain('minutes', minutes, '1'), ...inputs],
      window: { seconds: (toMs - fromMs) / 1000, samples: minutes, effectiveSamples: effectiveN },
      newestMs: monotonicMs(toMs),
    },
  }
}

function lineOf({ estimate, fromMs, toMs }: Line): Drift['line'] {
  const [from, to] = [estimate.at(fromMs), estimate.at(toMs)]
  const expanded = (u: number): number => expandedUncertainty(u, estimate.dof).U
  return { fromMs, toMs, atFrom: from.value, atTo: to.value, UFrom: expanded(from.u), UTo: expanded(to.u) }
}

function forecast({ limit }: DriftSpec, { estimate, toMs }: Line): Drift['forecast'] {
  if (limit === null) return null
  const { rate, U, dof } = estimate
  const end = estimate.at(toMs)
  const endU = expandedUncertainty(end.u, dof).U
  return forecastOf({ value: end.value, U: endU, rate, low: rate - U, high: rate + U }, limit)
}

const plain = (name: string, value: number, unit: string): UncertaintyInput => ({
  name,
  value,
  unit,
  u: null,
  contribution: 0,
})
