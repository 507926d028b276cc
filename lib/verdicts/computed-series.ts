import { epochMs, type MonotonicMs, monotonicMs } from '../../shared/brand.ts'
import type { Sample, Side } from '../../shared/sample.ts'
import type { StatisticsRequest, StatisticsResult } from '../../shared/schemas/compute-statistics.ts'
import { limits as limitsSchema } from '../../shared/schemas/config/limits.ts'
import type { Limit } from '../../shared/schemas/config.ts'
import type { Figure } from '../../shared/schemas/now.ts'
import type { Outcome, SideSnapshot } from '../statistics/zone-snapshot.ts'
import { ZoneStatistics } from '../statistics/zone-statistics.ts'
import type { CellOptions, ZoneStatisticsOptions } from '../statistics/zone-statistics-options.ts'
import { type FigureSpec, figureOf } from './figure.ts'
import { FORMULAS } from './formulas.ts'
import type { Averaging } from './judge.ts'

/** More noise blocks than this are refused: the memory goes with them. */
const MOST_BLOCKS = 100_000
/** A hole of more than this many usual steps of time breaks a noise block, as on a live channel. */
const HOLE_STEPS = 3

type Series = readonly (number | null)[]
type Sides = readonly (readonly [Side, Series])[]

/**
 * Statistics of a recorded stretch of one zone by the very code that judges it live, all of it as one steady window:
 * mean, side difference, noise and drift with uncertainty, limit and verdict. A null is left out and breaks the noise
 * block. Too few samples: the figure says what it waits for. Throws RangeError when the stretch holds more noise
 * blocks than can be kept.
 */
export function computeStatistics(request: StatisticsRequest): StatisticsResult {
  const { timesS } = request
  const startS = timesS[0] ?? 0
  const seconds = (timesS.at(-1) ?? startS) - startS
  if (seconds / request.noiseBlockS > MOST_BLOCKS)
    throw new RangeError(`noiseBlockS: ${seconds} s hold more than ${MOST_BLOCKS} noise blocks: make them longer`)
  const sides = sidesOf(request)
  const statistics = new ZoneStatistics(optionsOf(request, sides, seconds))
  for (const [i, timeS] of timesS.entries()) {
    const tMs = monotonicMs((timeS - startS) * 1000)
    const samples = Object.fromEntries(sides.map(([side, series]) => [side, sampleAt(tMs, series[i] ?? null)]))
    statistics.add({ tMs, skewMs: 0, sides: samples, aux: {} })
  }
  const snapshot = statistics.snapshot(monotonicMs(seconds * 1000))
  const figure = (outcome: Outcome, spec: FigureSpec): Figure =>
    figureOf(outcome, spec, (t) => epochMs(t + startS * 1000))
  const specs = specsOf(request)
  const { pair } = snapshot
  const told = snapshot.sides.map((side) => [side.side, sideResult(side, specs, figure)])
  return {
    samples: timesS.length,
    seconds,
    sides: Object.fromEntries(told) as StatisticsResult['sides'],
    total: figure(snapshot.total, snapshot.totalMeans === 'tension' ? specs.totalTension : specs.totalForce),
    totalMeans: snapshot.totalMeans,
    ...(pair === undefined
      ? {}
      : {
          imbalance: figure(pair.imbalance, specs.imbalance),
          lineOfPull: figure(pair.lineOfPull, specs.lineOfPull),
          driftOfSideDifference: figure(pair.driftOfSideDifference, specs.driftOfSideDifference),
        }),
    rateOfTotal: figure(snapshot.rateOfTotal, specs.rateOfTotal),
  }
}

function sidesOf({ forces }: StatisticsRequest): Sides {
  if ('singleN' in forces) return [['single', forces.singleN]]
  return [
    ['drive_side', forces.driveSideN],
    ['operator_side', forces.operatorSideN],
  ]
}

function sampleAt(tMs: MonotonicMs, value: number | null): Sample {
  const code = value === null ? 'missing' : 'good'
  return { tMs, halfWidthMs: 0, raw: value, electrical: null, value, code }
}

function optionsOf(request: StatisticsRequest, sides: Sides, seconds: number): ZoneStatisticsOptions {
  const { cell, timesS } = request
  // A step longer than the stretch, so that the first sample lies within the window too.
  const windowMs = Math.max(1, 1000 * seconds * (1 + 1 / timesS.length))
  const cellOptions = (side: Side): CellOptions => ({
    side,
    capacityN: 0,
    gainU: cell.uGainPercent / 100,
    zeroUN: cell.uZeroN,
    stepN: cell.stepN,
    forceFactor: cell.forceFactor ?? null,
    // A recording does not go stale.
    staleAfterMs: Number.MAX_VALUE,
    holeMs: HOLE_STEPS * usualStepMs(timesS),
  })
  return {
    cells: sides.map(([side]) => cellOptions(side)),
    forceFactorU: request.uForceFactorPercent / 100,
    commonForceFactor: true,
    cellDistanceM: request.cellDistanceM ?? null,
    averageMs: windowMs,
    noiseBlockMs: request.noiseBlockS * 1000,
    driftMs: windowMs,
    slackBelowN: request.slackBelowN,
    steady: { speedPercent: 1, referencePercent: 1 },
    watches: { speed: false, reference: false },
    auxStaleAfterMs: {},
  }
}

/** Median step of time, ms; Infinity for a single sample. */
function usualStepMs(timesS: readonly number[]): number {
  const steps = timesS.slice(1).map((t, i) => t - (timesS[i] ?? t))
  steps.sort((a, b) => a - b)
  const middle = steps[Math.floor(steps.length / 2)]
  return middle === undefined ? Number.POSITIVE_INFINITY : 1000 * middle
}

function specsOf({ limits }: StatisticsRequest) {
  const given = (value: number | undefined): Limit | undefined =>
    value === undefined ? undefined : { value, source: 'given in the request' }
  const site = limitsSchema.parse({
    side_difference_percent: given(limits.sideDifferencePercent),
    noise_percent: given(limits.noisePercent),
    drift_percent_per_hour: given(limits.driftPercentPerHour),
  })
  const judged = ({ value, source }: Limit, power: Averaging['power']) => ({
    limit: { target: 0, half: value, source },
    averaging: {
      longestSeconds: Number.POSITIVE_INFINITY,
      power,
      setting: 'the posted stretch',
      mostSettableSeconds: Number.POSITIVE_INFINITY,
    },
  })
  return {
    force: { unit: 'N', why: FORMULAS.force, judged: null },
    tension: { unit: 'N', why: FORMULAS.tension, judged: null },
    noise: { unit: '%', why: FORMULAS.noise, judged: judged(site.noise_percent, 1) },
    peakToPeak: { unit: 'N', why: FORMULAS.peakToPeak, judged: null },
    totalForce: { unit: 'N', why: FORMULAS.totalForce, judged: null },
    totalTension: { unit: 'N', why: FORMULAS.totalTension, judged: null },
    imbalance: { unit: '%', why: FORMULAS.imbalance, judged: judged(site.side_difference_percent, 1) },
    lineOfPull: { unit: 'm', why: FORMULAS.lineOfPull, judged: null },
    driftOfSideDifference: {
      unit: 'points/h',
      why: FORMULAS.driftOfSideDifference,
      judged: judged(site.drift_percent_per_hour, 3),
    },
    rateOfTotal: { unit: 'N/h', why: FORMULAS.rateOfTotal, judged: null },
  } as const satisfies Record<string, FigureSpec>
}

function sideResult(
  { force, tension, noise, peakToPeak }: SideSnapshot,
  specs: ReturnType<typeof specsOf>,
  figure: (outcome: Outcome, spec: FigureSpec) => Figure,
) {
  return {
    force: figure(force, specs.force),
    ...(tension === null ? {} : { tension: figure(tension, specs.tension) }),
    noise: figure(noise, specs.noise),
    peakToPeak: figure(peakToPeak, specs.peakToPeak),
  }
}
