import type { MonotonicMs } from '../../shared/brand.ts'
import type { Sample } from '../../shared/sample.ts'
import { qualityClause } from '../quality/words.ts'
import { batchSeries } from './batch-series.ts'
import { effectiveDof } from './effective-dof.ts'
import { type Estimate, estimateMean } from './mean-estimate.ts'
import { Moments } from './moments.ts'
import { MIN_BLOCK_SAMPLES, MIN_BLOCKS, NoiseBlocks, type NoiseEstimate } from './noise-blocks.ts'
import { awayWords } from './pull-gate.ts'
import { cellInputs, SIDE_NAMES } from './systematic.ts'
import { type Bucket, TimeBuckets } from './time-buckets.ts'
import { shortDuration, shortNumber } from './words.ts'
import { type LiveSample, type Outcome, type Quantity, waiting } from './zone-snapshot.ts'
import type { CellOptions, ZoneStatisticsOptions } from './zone-statistics-options.ts'

/** Buckets of an averaging window. */
export const AVERAGE_BUCKETS = 64
/** A mean within this many standard uncertainties of zero is not divided by. */
export const TOLD_FROM_ZERO = 3

/** Buckets of one averaging window: a bucket more, for the one that is filling. */
export function averagingBuckets<S extends { merge(o: S): void; reset(): void }>(averageMs: number, make: () => S) {
  const widthMs = averageMs / AVERAGE_BUCKETS
  return new TimeBuckets({ firstWidthMs: widthMs, lastWidthMs: widthMs, capacity: AVERAGE_BUCKETS + 1, make })
}

/** Window, sample counts and newest time of what lies in some buckets. */
export function windowOf(buckets: readonly Bucket<unknown>[], effectiveSamples: number | null) {
  const first = buckets[0]?.firstMs ?? 0
  const last = buckets.at(-1)?.lastMs ?? first
  const samples = buckets.reduce((sum, bucket) => sum + bucket.n, 0)
  return { window: { seconds: (last - first) / 1000, samples, effectiveSamples }, newestMs: last as MonotonicMs }
}

/** One side of a zone: its mean force, its noise, and when it last gave something good. O(1) a sample, amortised. */
export class SideStatistics {
  /** Its force factor may change with the web path. */
  cell: CellOptions
  readonly #averageMs: number
  readonly #noiseBlockMs: number
  readonly #noiseWindowMs: number
  readonly #window: TimeBuckets<Moments>
  readonly #noise: NoiseBlocks
  #last: Sample | null = null
  #lastGoodMs = Number.NEGATIVE_INFINITY
  #silenceMs = 0

  constructor(cell: CellOptions, options: ZoneStatisticsOptions) {
    this.cell = cell
    this.#averageMs = options.averageMs
    this.#noiseBlockMs = options.noiseBlockMs
    this.#noiseWindowMs = Math.max(options.averageMs, (MIN_BLOCKS + 1) * options.noiseBlockMs)
    this.#window = averagingBuckets(options.averageMs, () => new Moments())
    this.#noise = new NoiseBlocks(options.noiseBlockMs, this.#noiseWindowMs)
  }

  /**
   * Takes note of a sample. Returns its force when it is good and later than every one before, else NaN.
   * What is not good, and a hole in time, break the noise block.
   */
  accept(sample: Sample | undefined): number {
    if (sample === undefined || !(sample.tMs > (this.#last?.tMs ?? Number.NEGATIVE_INFINITY))) return Number.NaN
    this.#last = sample
    const value = sample.value
    if (sample.code !== 'good' || value === null || !Number.isFinite(value)) {
      this.#noise.breakOff()
      return Number.NaN
    }
    const silenceMs = sample.tMs - this.#lastGoodMs
    if (silenceMs > this.cell.holeMs) this.#noise.breakOff()
    this.#silenceMs = Number.isFinite(silenceMs) ? silenceMs : 0
    this.#lastGoodMs = sample.tMs
    return value
  }

  /** How long nothing good had come before the newest good sample, where that was a loss; else 0. */
  get lostBeforeMs(): number {
    return this.#silenceMs > this.cell.staleAfterMs ? this.#silenceMs : 0
  }

  /** Puts an accepted force into the window. */
  collect(tMs: number, forceN: number): void {
    this.#window.touch(tMs).add(forceN)
    this.#noise.add(tMs, forceN)
  }

  restart(): void {
    this.#window.clear()
    this.#noise.clear()
  }

  live(nowMs: number): LiveSample {
    const last = this.#last
    return { sample: last, stale: last !== null && nowMs - last.tMs > this.cell.staleAfterMs }
  }

  /** Why nothing can be told of this side at `nowMs`; undefined while its last good sample is fresh. */
  missing(nowMs: number): string | undefined {
    const age = nowMs - this.#lastGoodMs
    if (age <= this.cell.staleAfterMs) return undefined
    const name = `the ${SIDE_NAMES[this.cell.side]}`
    if (this.#last === null) return `${name} has given no sample yet`
    const cause = qualityClause(this.live(nowMs).stale ? 'stale' : this.#last.code)
    if (!Number.isFinite(age)) return `${name} has given no good sample yet: ${cause}`
    return `${name} has given no good sample for ${shortDuration(age / 1000)}: ${cause}`
  }

  buckets(nowMs: number): readonly Bucket<Moments>[] {
    return this.#window.since(nowMs - this.#averageMs)
  }

  /** Mean force over the window; undefined with too few batches. */
  mean(buckets: readonly Bucket<Moments>[]): Estimate | undefined {
    const all = new Moments()
    for (const bucket of buckets) all.merge(bucket.stat)
    return estimateMean(
      batchSeries(buckets, (stat) => stat.mean),
      all.variance ?? 0,
    )
  }

  /** Noise in % of the mean force, and its peak to peak in N. `mean` is the mean force as told, `unfit` why no percentage is. */
  noise(nowMs: number, mean: Quantity | undefined, unfit: string | undefined): { sigma: Outcome; peakToPeak: Outcome } {
    const estimate = this.#noise.estimate(nowMs - this.#noiseWindowMs)
    if (estimate === undefined) {
      const outcome = waiting(this.#noiseWaits(nowMs))
      return { sigma: unfit === undefined ? outcome : waiting(unfit), peakToPeak: outcome }
    }
    const window = {
      seconds: (estimate.blocks * this.#noiseBlockMs) / 1000,
      samples: estimate.samples,
      effectiveSamples: null,
    }
    const newestMs = this.#lastGoodMs as MonotonicMs
    return {
      sigma: this.#sigma(estimate, mean, unfit, window, newestMs),
      peakToPeak: {
        kind: 'told',
        quantity: {
          value: estimate.peakToPeak,
          uRandom: 0,
          dof: Number.POSITIVE_INFINITY,
          systematic: this.#peakToPeakInputs(estimate.peakToPeak),
          inputs: [{ name: '1 σ', value: estimate.sigma, unit: 'N', u: estimate.u, contribution: 0 }],
          window,
          newestMs,
        },
      },
    }
  }

  #sigma(
    { sigma, u, dof }: NoiseEstimate,
    mean: Quantity | undefined,
    unfit: string | undefined,
    window: Quantity['window'],
    newestMs: MonotonicMs,
  ): Outcome {
    if (unfit !== undefined) return waiting(unfit)
    if (mean === undefined) return waiting('collecting samples for the mean force')
    const forceN = mean.value * Math.sign(this.cell.forceFactor ?? 1)
    if (Math.abs(forceN) <= TOLD_FROM_ZERO * Math.hypot(mean.uRandom, this.cell.zeroUN))
      return waiting('the mean force is too near zero for a percentage of it')
    if (forceN < 0) return waiting(awayWords([this.cell.side]))
    const value = (100 * sigma) / forceN
    const fromSigma = { u: (100 * u) / forceN, dof }
    const fromMean = { u: (value * mean.uRandom) / forceN, dof: mean.dof }
    return {
      kind: 'told',
      quantity: {
        value,
        uRandom: Math.hypot(fromSigma.u, fromMean.u),
        dof: effectiveDof([fromSigma, fromMean]),
        // The gain scales noise and mean alike and cancels; the zero moves the mean alone.
        systematic: cellInputs([{ cell: this.cell, forceN, sensitivity: value / forceN }]).filter((input) =>
          input.name.startsWith('zero'),
        ),
        inputs: [
          { name: '1 σ', value: sigma, unit: 'N', u, contribution: fromSigma.u },
          { name: 'mean force', value: mean.value, unit: 'N', u: mean.uRandom, contribution: fromMean.u },
          { name: 'block', value: this.#noiseBlockMs / 1000, unit: 's', u: null, contribution: 0 },
        ],
        window,
        newestMs,
      },
    }
  }

  /** A difference of two readings: the zero cancels, the gain stays, each end has its own resolution. */
  #peakToPeakInputs(peakToPeakN: number) {
    return cellInputs([{ cell: this.cell, forceN: peakToPeakN, sensitivity: 1 }])
      .filter((input) => !input.name.startsWith('zero'))
      .map((input) =>
        input.name.startsWith('resolution') ? { ...input, contribution: input.contribution * Math.SQRT2 } : input,
      )
  }

  #noiseWaits(nowMs: number): string {
    const block = `${shortNumber(this.#noiseBlockMs / 1000)} s`
    const fullest = this.#noise.fullestBlock
    if (fullest > 0 && fullest < MIN_BLOCK_SAMPLES)
      return `noise needs ${MIN_BLOCK_SAMPLES} samples in a block of ${block} and gets ${fullest}: raise noise_block_s or rate_hz`
    const have = this.#noise.countSince(nowMs - this.#noiseWindowMs)
    return `collecting unbroken blocks of ${block}: ${have} of ${MIN_BLOCKS}`
  }
}
