import { batchSeries } from './batch-series.ts'
import { BivariateMoments } from './bivariate-moments.ts'
import { type Estimate, estimateMean } from './mean-estimate.ts'
import { awayWords } from './pull-gate.ts'
import { estimateRatePerHour } from './rate-estimate.ts'
import { type SideScales, shareSensitivity, sideDifference } from './side-difference.ts'
import { TOLD_FROM_ZERO, windowOf } from './side-statistics.ts'
import {
  cellInputs,
  commonFactorInput,
  from,
  type SideTerm,
  separateFactorInputs,
  type UncertaintyInput,
} from './systematic.ts'
import { geometryInputsOf, momentumOf } from './tension-scale.ts'
import type { Bucket } from './time-buckets.ts'
import { type Outcome, type Quantity, waiting } from './zone-snapshot.ts'
import type { CellOptions, ZoneStatisticsOptions } from './zone-statistics-options.ts'

type PairBuckets = readonly Bucket<BivariateMoments>[]

const plain = (name: string, value: number | null, unit: string): UncertaintyInput => ({
  name,
  value,
  unit,
  u: null,
  contribution: 0,
})

/** The figures below are told, wait for something, or are undefined: too few batches yet. */
function told(
  estimate: Estimate,
  buckets: readonly Bucket<unknown>[],
  systematic: readonly UncertaintyInput[],
  inputs: readonly UncertaintyInput[],
): Outcome {
  const quantity: Quantity = {
    value: estimate.value,
    uRandom: estimate.u,
    dof: estimate.dof,
    systematic,
    inputs,
    ...windowOf(buckets, estimate.effectiveN),
  }
  return { kind: 'told', quantity }
}

const scaled = (estimate: Estimate, factor: number): Estimate => ({
  ...estimate,
  value: estimate.value * factor,
  u: estimate.u * Math.abs(factor),
})

const shifted = (estimate: Estimate, by: number): Estimate => ({ ...estimate, value: estimate.value + by })

/** Mean force of one side (perN = 1), or the web tension it carries (perN = 1/k, with the options that tell u(k)). */
export function sideOutcome(
  cell: CellOptions,
  mean: Estimate | undefined,
  buckets: readonly Bucket<unknown>[],
  perN: number,
  options?: ZoneStatisticsOptions,
): Outcome | undefined {
  if (mean === undefined) return undefined
  const terms = [{ cell, forceN: mean.value, sensitivity: perN }]
  const inputs = [plain('mean force', mean.value, 'N')]
  if (options === undefined) return told(scaled(mean, perN), buckets, cellInputs(terms), inputs)
  const momentum = momentumOf(options, [cell])
  const systematic = [
    ...cellInputs(terms),
    ...separateFactorInputs(terms, options),
    ...geometryInputsOf(options, mean.value * perN, momentum),
  ]
  return told(shifted(scaled(mean, perN), momentum), buckets, systematic, inputs)
}

/** Sum of both sides: forces along the arrows, or web tensions where both force factors are known. */
export function totalOutcome(
  buckets: PairBuckets,
  options: ZoneStatisticsOptions,
  perN: SideScales,
): Outcome | undefined {
  const all = merged(buckets)
  const series = batchSeries(buckets, (stat) => stat.meanOf(perN.drive, perN.operator))
  const estimate = estimateMean(series, all.varianceOf(perN.drive, perN.operator) ?? 0)
  if (estimate === undefined) return undefined
  const terms = sideTerms(options, all, perN)
  const momentum = momentumOf(options, options.cells)
  const inputs = [
    ...totalInputs(options, terms, estimate.value),
    ...geometryInputsOf(options, estimate.value, momentum),
  ]
  return told(shifted(estimate, momentum), buckets, inputs, forcesIn(all))
}

/** Side difference I = (F_OS − F_DS)/(F_OS + F_DS) in %. */
export function imbalanceOutcome(buckets: PairBuckets, options: ZoneStatisticsOptions): Outcome | undefined {
  const difference = guardedDifference(buckets, options, pullScales(options))
  if (difference === undefined || 'kind' in difference) return difference
  const { estimate, terms, all } = difference
  return told(scaled(estimate, 100), buckets, shareInputs(options, terms, 100), forcesIn(all))
}

/** Line of pull e = (T_OS − T_DS)/(T_OS + T_DS) · L/2 in m; forces stand for tensions without force factors. */
export function lineOfPullOutcome(buckets: PairBuckets, options: ZoneStatisticsOptions): Outcome | undefined {
  const distance = options.cellDistanceM
  if (distance === null) return waiting('the distance between the cells is not in the config (cell_distance_m)')
  const difference = guardedDifference(buckets, options, tensionScales(options))
  if (difference === undefined || 'kind' in difference) return difference
  const { estimate, terms, all, sum } = difference
  // The momentum acts at the web's centre: e_T = (F·e + m·v²·e_w)/T, with F = T − m·v² in newtons of web tension.
  const momentum = momentumOf(options, options.cells)
  const share = sum / (sum + momentum)
  const atWeb = (1 - share) * (options.scale?.webOffsetM ?? 0)
  return told(
    shifted(scaled(estimate, (share * distance) / 2), atWeb),
    buckets,
    shareInputs(options, terms, (share * distance) / 2),
    [...forcesIn(all), plain('cell distance', distance, 'm')],
  )
}

/** Rate of the side difference in points per hour. A slack web never gets here: the window begins anew after it. */
export function driftOutcome(buckets: PairBuckets, options: ZoneStatisticsOptions): Outcome | undefined {
  const { drive, operator } = pullScales(options)
  if (merged(buckets).meanOf(drive, operator) < 0) return waiting(awayWords(['drive_side', 'operator_side']))
  const series = batchSeries(buckets, (stat) => {
    const sum = stat.meanOf(drive, operator)
    return sum === 0 ? undefined : (100 * stat.meanOf(-drive, operator)) / sum
  })
  const estimate = estimateRatePerHour(series)
  // A constant error of gain or zero moves a rate only by its own share of it: nothing beside the scatter.
  return estimate === undefined ? undefined : told(estimate, buckets, [], [plain('batches', series.n.length, '1')])
}

/** Rate of the total in N/h. */
export function rateOutcome(
  buckets: PairBuckets,
  options: ZoneStatisticsOptions,
  perN: SideScales,
): Outcome | undefined {
  const series = batchSeries(buckets, (stat) => stat.meanOf(perN.drive, perN.operator))
  const estimate = estimateRatePerHour(series)
  if (estimate === undefined) return undefined
  const [{ gainU, gainSource } = { gainU: 0, gainSource: undefined }] = options.cells.toSorted(
    (a, b) => b.gainU - a.gainU,
  )
  const contribution = Math.abs(estimate.value) * gainU
  const gain = { name: 'gain', value: 100, unit: '%', u: 100 * gainU, contribution, ...from(gainSource) }
  const factor = options.cells[0]?.forceFactor
  const systematic = typeof factor === 'number' ? [gain, commonFactorInput(factor, options, estimate.value)] : [gain]
  return told(estimate, buckets, systematic, [plain('batches', series.n.length, '1')])
}

interface Difference {
  readonly estimate: Estimate
  readonly terms: readonly SideTerm[]
  readonly all: BivariateMoments
  readonly sum: number
}

/** The side difference with its sensitivities, unless the sum cannot be told from zero. */
function guardedDifference(
  buckets: PairBuckets,
  options: ZoneStatisticsOptions,
  scales: SideScales,
): Difference | Outcome | undefined {
  const all = merged(buckets)
  const series = batchSeries(buckets, (stat) => stat.meanOf(scales.drive, scales.operator))
  const sum = estimateMean(series, all.varianceOf(scales.drive, scales.operator) ?? 0)
  if (sum === undefined) return undefined
  const zero = Math.hypot(...options.cells.map((cell) => cell.zeroUN * Math.abs(scaleOf(cell, scales))))
  if (Math.abs(sum.value) <= TOLD_FROM_ZERO * Math.hypot(sum.u, zero))
    return waiting('the sum of both sides cannot be told from zero')
  if (sum.value < 0) return waiting(awayWords(['drive_side', 'operator_side']))
  const estimate = sideDifference(buckets, scales)
  if (estimate === undefined) return undefined
  const drive = all.meanX * scales.drive
  const operator = all.meanY * scales.operator
  const share = shareSensitivity(drive, operator)
  const sensitivity = { drive: share.drive * scales.drive, operator: share.operator * scales.operator }
  return { estimate, terms: sideTerms(options, all, sensitivity), all, sum: sum.value }
}

function shareInputs(options: ZoneStatisticsOptions, terms: readonly SideTerm[], factor: number): UncertaintyInput[] {
  const inFigure = terms.map((term) => ({ ...term, sensitivity: term.sensitivity * factor }))
  return [...cellInputs(inFigure), ...separateFactorInputs(inFigure, options)]
}

function totalInputs(options: ZoneStatisticsOptions, terms: readonly SideTerm[], total: number): UncertaintyInput[] {
  const factor = options.cells[0]?.forceFactor
  const factors =
    options.commonForceFactor && typeof factor === 'number'
      ? [commonFactorInput(factor, options, total)]
      : separateFactorInputs(terms, options)
  return [...cellInputs(terms), ...factors]
}

function sideTerms(options: ZoneStatisticsOptions, all: BivariateMoments, sensitivity: SideScales): SideTerm[] {
  return options.cells.map((cell) => ({
    cell,
    forceN: cell.side === 'operator_side' ? all.meanY : all.meanX,
    sensitivity: scaleOf(cell, sensitivity),
  }))
}

const scaleOf = (cell: CellOptions, scales: SideScales): number =>
  cell.side === 'operator_side' ? scales.operator : scales.drive

/** +1 for an arrow that the web pulls along, −1 for one it rightly pulls against (a negative force factor). */
function pullScales({ cells }: ZoneStatisticsOptions): SideScales {
  const sign = (side: 'drive_side' | 'operator_side') => Math.sign(cells.find((c) => c.side === side)?.forceFactor ?? 1)
  return { drive: sign('drive_side'), operator: sign('operator_side') }
}

function tensionScales({ cells }: ZoneStatisticsOptions): SideScales {
  if (cells.some((cell) => cell.forceFactor === null)) return { drive: 1, operator: 1 }
  const perN = (side: 'drive_side' | 'operator_side') => 1 / (cells.find((c) => c.side === side)?.forceFactor ?? 1)
  return { drive: perN('drive_side'), operator: perN('operator_side') }
}

function forcesIn(all: BivariateMoments): UncertaintyInput[] {
  return [plain('force of the drive side', all.meanX, 'N'), plain('force of the operator side', all.meanY, 'N')]
}

function merged(buckets: PairBuckets): BivariateMoments {
  const all = new BivariateMoments()
  for (const bucket of buckets) all.merge(bucket.stat)
  return all
}
