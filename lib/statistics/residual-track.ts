import type { MonotonicMs } from '../../shared/brand.ts'
import type { Side } from '../../shared/sample.ts'
import { batchSeries } from './batch-series.ts'
import { BivariateMoments } from './bivariate-moments.ts'
import { type Estimate, estimateMean } from './mean-estimate.ts'
import { estimateRatePerHour } from './rate-estimate.ts'
import { averagingBuckets, windowOf } from './side-statistics.ts'
import { cellInputs, type UncertaintyInput } from './systematic.ts'
import type { Bucket, TimeBuckets } from './time-buckets.ts'
import type { Outcome } from './zone-snapshot.ts'
import type { CellOptions } from './zone-statistics-options.ts'

/** What the geometry expects of one frame, or why it expects nothing. */
export type FrameExpectation =
  | {
      readonly kind: 'told'
      /** Of the reference, N. */
      readonly tension: number
      /** m/s */
      readonly speed: number
      /** Radius, m, or angle, rad, of the moving neighbour; null as drawn. */
      readonly neighbour: number | null
      /** m·v² taken off the tension, N. */
      readonly momentum: number
      /** Of the web alone along each arrow, N. */
      readonly forces: Readonly<Partial<Record<Side, number>>>
    }
  | { readonly kind: 'unknown'; readonly why: string }

/** How web tension follows from the forces of one frame: T = Σ F × perNewton + momentum. */
export interface FrameTension {
  /** Newtons of web tension per newton along each arrow. */
  readonly perNewton: Readonly<Partial<Record<Side, number>>>
  /** Of m·v², N. */
  readonly momentumN: number
}

/** What the zone was doing over the window that a residual stands for. */
export interface WindowState {
  readonly tension: number
  readonly speed: number
  readonly neighbour: number | null
}

/** Measured less expected over the averaging window. */
export interface ResidualSnapshot {
  /** Window means of what the expectation followed; null before the first. */
  readonly state: WindowState | null
  /** N along the arrow, by side, drive side first. */
  readonly sides: readonly (readonly [Side, Outcome])[]
  /** Of the whole web, in newtons of web tension. */
  readonly total: Outcome
  /** Drift of the total's, % of expected an hour. */
  readonly drift: Outcome
}

type Pairs = TimeBuckets<BivariateMoments>
type PairBuckets = readonly Bucket<BivariateMoments>[]

/**
 * Residuals of a zone, frame by frame: what was measured less what the geometry expects at that frame's own speed,
 * reference and neighbour. What both follow together cancels, and the scatter that is left is the residual's own.
 * O(1) a frame; memory bounded by the windows.
 */
export class ResidualTrack {
  readonly #averageMs: number
  /** Residual of the first and the second side, N. */
  readonly #average: Pairs
  /** Tension and speed that the expectation followed. */
  readonly #followed: Pairs
  /** Place of the moving neighbour that it followed; y unused. */
  readonly #places: Pairs
  /** Residual of the total, % of expected; y unused. */
  readonly #drift: Pairs
  #newest: FrameExpectation | undefined

  constructor(averageMs: number, drift: Pairs) {
    const make = () => new BivariateMoments()
    this.#averageMs = averageMs
    this.#average = averagingBuckets(averageMs, make)
    this.#followed = averagingBuckets(averageMs, make)
    this.#places = averagingBuckets(averageMs, make)
    this.#drift = drift
  }

  /** Why nothing can be expected at the newest frame; undefined while it can. */
  get whyNot(): string | undefined {
    if (this.#newest === undefined) return 'nothing has been read yet'
    return this.#newest.kind === 'unknown' ? this.#newest.why : undefined
  }

  /** Takes note of what is expected now, also for a frame that measures nothing good. */
  note(expectation: FrameExpectation): void {
    this.#newest = expectation
  }

  /** A frame with every side good. */
  add(tMs: number, cells: readonly CellOptions[], forces: readonly number[]): void {
    const expected = this.#newest
    if (expected?.kind !== 'told') return
    const residual = (i: number): number => {
      const cell = cells[i]
      return cell === undefined ? 0 : (forces[i] ?? Number.NaN) - (expected.forces[cell.side] ?? Number.NaN)
    }
    const [first, second] = [residual(0), residual(1)]
    if (!Number.isFinite(first) || !Number.isFinite(second)) return
    this.#average.touch(tMs).add(first, second)
    this.#followed.touch(tMs).add(expected.tension, expected.speed)
    if (expected.neighbour !== null) this.#places.touch(tMs).add(expected.neighbour, 0)
    const pressing = expected.tension - expected.momentum
    if (!(pressing > 0)) return
    const total = first * perN(cells[0]) + second * perN(cells[1])
    this.#drift.touch(tMs).add((100 * total) / pressing, 0)
  }

  restart(): void {
    this.#average.clear()
    this.#followed.clear()
    this.#places.clear()
    this.#drift.clear()
  }

  /** Buckets of the drift of the total's residual, and its rate once there are enough. */
  driftSince(sinceMs: number): PairBuckets {
    return this.#drift.since(sinceMs)
  }

  /** Residuals at `now`; `collecting` says why there are too few samples yet. */
  at(
    now: MonotonicMs,
    cells: readonly CellOptions[],
    collecting: (buckets: PairBuckets) => Outcome,
  ): Pick<ResidualSnapshot, 'state' | 'sides' | 'total'> {
    const since = now - this.#averageMs
    const buckets = this.#average.since(since)
    const all = merged(buckets)
    const state = this.followed(now)
    const expected = this.#newest?.kind === 'told' ? this.#newest.forces : {}
    const inputs = state === null ? [] : [plain('tension of the reference', state.tension, 'N')]
    const measured = (i: number, side: Side): number => (i === 0 ? all.meanX : all.meanY) + (expected[side] ?? 0)
    /** Residual of a weighted sum of the sides, a newton of each counting `weights`. */
    const outcome = (weights: readonly number[]): Outcome => {
      const [first = 0, second = 0] = weights
      const series = batchSeries(buckets, (stat) => stat.meanOf(first, second))
      const estimate = estimateMean(series, all.varianceOf(first, second) ?? 0)
      if (estimate === undefined) return collecting(buckets)
      const terms = cells.map((cell, i) => ({
        cell,
        forceN: measured(i, cell.side),
        sensitivity: weights[i] ?? 0,
      }))
      const systematic = cellInputs(terms.filter(({ sensitivity }) => sensitivity !== 0))
      return told(estimate, buckets, systematic, inputs)
    }
    return {
      state,
      sides: cells.map((cell, i) => [cell.side, outcome(i === 0 ? [1] : [0, 1])] as const),
      total: outcome(cells.map(perN)),
    }
  }

  /**
   * Window means of what the expectation followed; null before the first. A force factor at the mean place of the
   * neighbour fits the mean force to second order; at its newest place the mean force would lag behind it.
   */
  followed(now: MonotonicMs): WindowState | null {
    const since = now - this.#averageMs
    const all = merged(this.#followed.since(since))
    if (all.n === 0) return null
    const places = merged(this.#places.since(since))
    return { tension: all.meanX, speed: all.meanY, neighbour: places.n === 0 ? null : places.meanX }
  }
}

/** Rate of the residual in % of expected an hour. */
export function residualRate(buckets: PairBuckets): Outcome | undefined {
  const series = batchSeries(buckets, (stat) => stat.meanX)
  const estimate = estimateRatePerHour(series)
  // A constant error of gain, zero or geometry shifts the residual and not its rate.
  return estimate === undefined ? undefined : told(estimate, buckets, [], [plain('batches', series.n.length, '1')])
}

function told(
  estimate: Estimate,
  buckets: PairBuckets,
  systematic: readonly UncertaintyInput[],
  inputs: readonly UncertaintyInput[],
): Outcome {
  const { value, u, dof, effectiveN } = estimate
  return {
    kind: 'told',
    quantity: { value, uRandom: u, dof, systematic, inputs, ...windowOf(buckets, effectiveN) },
  }
}

const plain = (name: string, value: number, unit: string): UncertaintyInput => ({
  name,
  value,
  unit,
  u: null,
  contribution: 0,
})

const perN = (cell: CellOptions | undefined): number => (cell === undefined ? 0 : 1 / (cell.forceFactor ?? 1))

function merged(buckets: PairBuckets): BivariateMoments {
  const all = new BivariateMoments()
  for (const bucket of buckets) all.merge(bucket.stat)
  return all
}
