import type { Sample, Side, ZoneFrame } from '../../shared/sample.ts'
import type { ZoneMinute, ZoneMinuteState } from '../../shared/schemas/zone-minute.ts'
import { Moments } from '../statistics/moments.ts'
import { NoiseBlocks } from '../statistics/noise-blocks.ts'
import type { FrameExpectation, FrameTension } from '../statistics/residual-track.ts'
import type { Watch } from '../statistics/steadiness.ts'
import type { ZoneStatisticsOptions } from '../statistics/zone-statistics-options.ts'
import { MinuteColumn } from './minute-column.ts'

const MINUTE_MS = 60_000
/** A speed under this is a stop (common practice, no source). */
const STOPPED_BELOW = 0.01
/**
 * A minute is unknown with fewer good frames than this share of those that hold every side, or when the good ones cover
 * less of it (common practice, no source). Where the sides are read at unlike rates most frames hold one side alone.
 */
const LEAST_SHARE = 0.5
/** Frames may come this late after their minute has ended. */
const GRACE_MS = 2000
/** Minutes without a frame told one by one; what is longer is a hole. */
const MOST_EMPTY = 1440
const MEANS = ['speed', 'reference', 'temperature', 'neighbour'] as const

/** A minute as it was measured; which revision was in force, the gateway knows. */
export type MeasuredMinute = Omit<ZoneMinute, 'revision'>

/** What the zone is doing as its frames go by, as its statistics know it. */
export interface RunningZone {
  /** When the present steady window began; NaN before the first good sample. */
  readonly windowStartMs: number
  readonly isSlack: boolean
  watch(nowMs: number): Watch
}

/**
 * Minutes of one zone, frame by frame: medians of good samples, and what the zone did. O(1) a frame, amortised; memory
 * bounded by the samples of a minute. A frame that is no later than the one before is ignored. A minute in any part of
 * which the averaging window was still filling after a change of speed, reference or pull, a loss or a start, is `moving`.
 */
export class MinuteTrack {
  readonly #options: ZoneStatisticsOptions
  readonly #zone: RunningZone
  readonly #sides: readonly Side[]
  readonly #force: readonly MinuteColumn[]
  readonly #noise: readonly NoiseBlocks[]
  readonly #lastGoodMs: number[]
  /** A hole in time longer than this breaks the noise of a side. */
  readonly #holeMs: readonly number[]
  readonly #total = new MinuteColumn()
  readonly #imbalance = new MinuteColumn()
  readonly #expected = new MinuteColumn()
  readonly #residual = new MinuteColumn()
  readonly #means = MEANS.map(() => new Moments())
  readonly #forces = [Number.NaN, Number.NaN]
  /** Without geometry. */
  readonly #plainTension: FrameTension
  #seenMs = Number.NEGATIVE_INFINITY
  /** Which minute is open; NaN before the first. */
  #minute = Number.NaN
  #frames = 0
  #whole = 0
  #good = 0
  #firstGoodMs = 0
  #newestGoodMs = 0
  #moving = 0
  #stopped = 0
  #slack = 0
  #newestTMs = 0

  constructor(options: ZoneStatisticsOptions, zone: RunningZone) {
    this.#options = options
    this.#zone = zone
    const order: readonly Side[] = ['drive_side', 'operator_side', 'single']
    this.#sides = order.filter((side) => options.cells.some((cell) => cell.side === side))
    this.#plainTension = plainTension(options)
    this.#force = this.#sides.map(() => new MinuteColumn())
    // The blocks of a whole minute.
    this.#noise = this.#sides.map(() => new NoiseBlocks(options.noiseBlockMs, MINUTE_MS + options.noiseBlockMs))
    this.#lastGoodMs = this.#sides.map(() => Number.NEGATIVE_INFINITY)
    this.#holeMs = this.#sides.map((side) => options.cells.find((cell) => cell.side === side)?.holeMs ?? 0)
  }

  /**
   * One frame that the zone's statistics have taken in, at its epoch time, with what a geometry makes of it; returns the
   * minutes that ended before it.
   */
  add(
    epochMs: number,
    frame: ZoneFrame,
    expectation?: FrameExpectation,
    tension: FrameTension | string = this.#plainTension,
  ): readonly MeasuredMinute[] {
    if (!(epochMs > this.#seenMs)) return NONE
    this.#seenMs = epochMs
    const ended = this.#openAt(Math.floor(epochMs / MINUTE_MS))
    this.#frames += 1
    this.#newestTMs = frame.tMs
    for (let i = 0; i < MEANS.length; i += 1) {
      const value = goodValue(frame.aux[MEANS[i] as (typeof MEANS)[number]])
      if (!Number.isNaN(value)) this.#means[i]?.add(value)
    }
    let isWhole = true
    let allGood = true
    for (let i = 0; i < this.#sides.length; i += 1) {
      const sample = frame.sides[this.#sides[i] as Side]
      if (sample === undefined) isWhole = false
      else if (Number.isNaN(this.#side(i, frame.tMs, goodValue(sample)))) allGood = false
    }
    if (!isWhole) return ended
    this.#whole += 1
    if (!allGood) return ended
    if (this.#good === 0) this.#firstGoodMs = epochMs
    this.#good += 1
    this.#newestGoodMs = epochMs
    this.#sort(frame)
    if (typeof tension !== 'string') this.#measure(tension, expectation)
    return ended
  }

  /** Minutes that ended well before `epochMs`, also when no frame came. */
  expire(epochMs: number): readonly MeasuredMinute[] {
    return Number.isNaN(this.#minute) ? NONE : this.#openAt(Math.floor((epochMs - GRACE_MS) / MINUTE_MS))
  }

  #side(i: number, tMs: number, force: number): number {
    this.#forces[i] = force
    const noise = this.#noise[i]
    if (Number.isNaN(force)) {
      noise?.breakOff()
      return force
    }
    if (tMs - (this.#lastGoodMs[i] ?? 0) > (this.#holeMs[i] ?? 0)) noise?.breakOff()
    this.#lastGoodMs[i] = tMs
    this.#force[i]?.add(force)
    noise?.add(tMs, force)
    return force
  }

  /** What the zone does in a good frame. */
  #sort({ tMs, aux }: ZoneFrame): void {
    if (tMs - this.#zone.windowStartMs < this.#options.averageMs) this.#moving += 1
    if (this.#zone.isSlack) this.#slack += 1
    if (Math.abs(goodValue(aux.speed)) < STOPPED_BELOW) this.#stopped += 1
  }

  #measure({ perNewton, momentumN }: FrameTension, expectation: FrameExpectation | undefined): void {
    const told = expectation?.kind === 'told' ? expectation : undefined
    let total = 0
    let apart = 0
    for (let i = 0; i < this.#sides.length; i += 1) {
      const side = this.#sides[i] as Side
      const force = this.#forces[i] as number
      total += force * (perNewton[side] ?? 1)
      apart += (force - (told?.forces[side] ?? Number.NaN)) * (perNewton[side] ?? 1)
    }
    this.#total.add(total + momentumN)
    if (this.#sides.length === 2 && !this.#zone.isSlack) this.#compareSides(perNewton)
    if (told === undefined) return
    this.#expected.add(told.tension)
    const pressing = told.tension - told.momentum
    if (pressing > 0) this.#residual.add((100 * apart) / pressing)
  }

  #compareSides(perNewton: FrameTension['perNewton']): void {
    // No inner function: this runs with every frame.
    const drive = (this.#forces[0] as number) * Math.sign(perNewton[this.#sides[0] as Side] ?? 1)
    const operator = (this.#forces[1] as number) * Math.sign(perNewton[this.#sides[1] as Side] ?? 1)
    this.#imbalance.add((100 * (operator - drive)) / (operator + drive))
  }

  #openAt(minute: number): readonly MeasuredMinute[] {
    if (Number.isNaN(this.#minute)) {
      this.#minute = minute
      return NONE
    }
    if (minute <= this.#minute) return NONE
    const ended: MeasuredMinute[] = []
    for (; this.#minute < minute; this.#minute += 1) {
      ended.push(this.#close())
      if (ended.length === MOST_EMPTY) this.#minute = minute - 1
    }
    return ended
  }

  #close(): MeasuredMinute {
    const state = this.#state()
    const bySide = (of: (i: number) => number | null) =>
      Object.fromEntries(this.#sides.map((side, i) => [side, of(i)])) as ZoneMinute['force']
    const [speed = null, reference = null, temperature = null, neighbour = null] = this.#means.map(meanOf)
    const expected = this.#expected.close()
    const residual = this.#residual.close()
    const imbalance = this.#imbalance.close()
    const row: MeasuredMinute = {
      tMs: this.#minute * MINUTE_MS,
      frames: this.#frames,
      good: this.#good,
      state,
      force: bySide((i) => this.#force[i]?.close() ?? null),
      noise: bySide((i) => this.#noise[i]?.estimate(Number.NEGATIVE_INFINITY)?.sigma ?? null),
      total: this.#total.close(),
      ...(this.#sides.length === 2 ? { imbalance } : {}),
      ...(this.#options.compares === true ? { expected, residual } : {}),
      speed,
      reference,
      temperature,
      neighbour,
    }
    this.#begin()
    return row
  }

  #state(): ZoneMinuteState {
    if (this.#good === 0 || this.#good < LEAST_SHARE * this.#whole) return 'unknown'
    if (this.#newestGoodMs - this.#firstGoodMs < LEAST_SHARE * MINUTE_MS) return 'unknown'
    if (this.#moving > 0) return 'moving'
    if (2 * this.#stopped > this.#good) return 'stopped'
    if (2 * this.#slack > this.#good) return 'slack'
    const { seen, unknown } = this.#zone.watch(this.#newestTMs)
    if (unknown !== undefined) return 'unknown'
    return seen.length > 0 ? 'steady' : 'assumed'
  }

  #begin(): void {
    for (const noise of this.#noise) noise.clear()
    for (const mean of this.#means) mean.reset()
    this.#frames = 0
    this.#whole = 0
    this.#good = 0
    this.#moving = 0
    this.#stopped = 0
    this.#slack = 0
  }
}

/** By the force factors of the config; forces stand for tensions where one is not known. */
function plainTension({ cells }: ZoneStatisticsOptions): FrameTension {
  const isKnown = cells.every(({ forceFactor }) => forceFactor !== null)
  const perNewton = cells.map(({ side, forceFactor }) => [side, isKnown ? 1 / (forceFactor ?? 1) : 1] as const)
  return { perNewton: Object.fromEntries(perNewton), momentumN: 0 }
}

const NONE: readonly MeasuredMinute[] = []

function goodValue(sample: Sample | undefined): number {
  if (sample === undefined || sample.code !== 'good' || sample.value === null) return Number.NaN
  return Number.isFinite(sample.value) ? sample.value : Number.NaN
}

const meanOf = ({ n, mean }: Moments): number | null => (n === 0 ? null : mean)
