import type { MonotonicMs } from '../../shared/brand.ts'
import { AUX_ROLES, type AuxRole, type Sample, type ZoneFrame } from '../../shared/sample.ts'
import { isAnotherRoll } from './another-roll.ts'
import { BivariateMoments } from './bivariate-moments.ts'
import { collectingRateWords, collectingWords, NEVER_TOGETHER } from './collecting.ts'
import { driftBuckets } from './drift-buckets.ts'
import { MIN_BATCHES } from './long-run-variance.ts'
import { PullGate } from './pull-gate.ts'
import {
  type FrameExpectation,
  type ResidualSnapshot,
  ResidualTrack,
  residualRate,
  type WindowState,
} from './residual-track.ts'
import type { SideScales } from './side-difference.ts'
import { SideSkew } from './side-skew.ts'
import { AVERAGE_BUCKETS, averagingBuckets, SideStatistics } from './side-statistics.ts'
import { Steadiness, steadyState, type Watch } from './steadiness.ts'
import { SIDE_NAMES } from './systematic.ts'
import { perNewton, type TensionScale, tensionIsKnown, withScale } from './tension-scale.ts'
import type { Bucket, TimeBuckets } from './time-buckets.ts'
import { shortDuration, shortNumber } from './words.ts'
import {
  driftOutcome,
  imbalanceOutcome,
  lineOfPullOutcome,
  rateOutcome,
  sideOutcome,
  totalOutcome,
} from './zone-figures.ts'
import {
  type LiveSample,
  type Outcome,
  type SideSnapshot,
  type SteadyState,
  waiting,
  type ZoneSnapshot,
} from './zone-snapshot.ts'
import type { ZoneStatisticsOptions } from './zone-statistics-options.ts'

/**
 * A rate per hour out of seconds is mostly the web's wander: none is told before this share of the drift
 * window, and 10 min are always enough (common practice, no source).
 */
const LEAST_SHARE_OF_DRIFT = 1 / 3
const ENOUGH_FOR_DRIFT_MS = 600_000
/** A tension's rate out of forces of one force factor: it may have changed by this share (common practice, no source). */
const MOST_PATH_MOVE = 0.001
/**
 * Running statistics of one zone, for one or two cells.
 *
 * Only samples of quality `good` enter. A bad sample or a hole in time breaks a noise block and is never
 * bridged. A change of speed or reference beyond what counts as steady, a web that goes slack or comes under
 * tension, a side that turns to pull away from its arrow, and a side that comes back after it was lost begin every window anew: nobody knows what the web
 * did meanwhile. Samples that are no later than the one before are ignored.
 * `add` is O(1) amortised, allocates nothing in steady running, and memory is bounded by the options alone.
 */
export class ZoneStatistics {
  #options: ZoneStatisticsOptions
  readonly #first: SideStatistics
  /** Undefined for a zone with one cell. */
  readonly #second: SideStatistics | undefined
  /** Both sides of one frame: x the drive side, y the operator side. */
  readonly #pairs: TimeBuckets<BivariateMoments>
  /** The same over the drift window; one cell fills x alone. */
  readonly #drift: TimeBuckets<BivariateMoments>
  readonly #steadiness: Steadiness
  readonly #pull: PullGate
  readonly #aux: Partial<Record<AuxRole, Sample>> = {}
  #perN: SideScales
  #perNAtStart: number
  /** Undefined for a zone without geometry. */
  readonly #residual: ResidualTrack | undefined
  /** Why the force factors are not known now; undefined while they are. */
  #unscaled: string | undefined
  #windowStartMs = Number.NaN
  #lastGoodMs = Number.NEGATIVE_INFINITY
  #restartedBy: string | undefined
  readonly #skew = new SideSkew()

  /** Throws RangeError without a cell or with more than two. */
  constructor(options: ZoneStatisticsOptions) {
    const [first, second, third] = options.cells
    if (first === undefined || third !== undefined) throw new RangeError('a zone has one cell or two')
    const cells = second === undefined ? [first] : [first, second]
    const ordered = first.side === 'operator_side' ? cells.reverse() : cells
    this.#options = options
    this.#first = new SideStatistics(ordered[0] ?? first, options)
    this.#second = ordered[1] === undefined ? undefined : new SideStatistics(ordered[1], options)
    this.#pairs = averagingBuckets(options.averageMs, () => new BivariateMoments())
    this.#drift = driftBuckets(options)
    this.#steadiness = new Steadiness(options)
    this.#pull = new PullGate(ordered, options.slackBelowN)
    this.#perN = perNewton(options)
    // With geometry the first scale tells it.
    this.#perNAtStart = options.compares === true ? Number.NaN : this.#perN.drive
    this.#residual = options.compares === true ? new ResidualTrack(options.averageMs, driftBuckets(options)) : undefined
  }

  /** Means over the averaging window of what the geometry follows; null without geometry, or before the first. */
  followed(now: MonotonicMs): WindowState | null {
    return this.#residual?.followed(now) ?? null
  }

  /** Force factors and momentum as the geometry tells them from now on, or why it cannot. */
  rescale(scale: TensionScale | string): void {
    this.#unscaled = typeof scale === 'string' ? scale : undefined
    if (typeof scale === 'string') return
    this.#options = withScale(this.#options, scale)
    this.#perN = perNewton(this.#options)
    if (Number.isNaN(this.#perNAtStart)) this.#perNAtStart = this.#perN.drive
    for (const side of this.#sides())
      side.cell = this.#options.cells.find((cell) => cell.side === side.cell.side) ?? side.cell
  }

  /** One frame, with what the geometry expects of it. Never throws; a frame that holds nothing good changes no figure. */
  add(frame: ZoneFrame, expectation?: FrameExpectation): void {
    this.#takeAux(frame)
    if (expectation !== undefined) this.#residual?.note(expectation)
    const first = this.#first
    const second = this.#second
    const firstSample = frame.sides[first.cell.side]
    const firstN = first.accept(firstSample)
    if (second === undefined) {
      if (Number.isNaN(firstN)) return
      this.#judgeLoss(frame.tMs, first)
      this.#judgePull(frame.tMs, firstN, Number.NaN)
      this.#begin(frame.tMs)
      first.collect(frame.tMs, firstN)
      this.#drift.touch(frame.tMs).add(firstN, 0)
      this.#residual?.add(frame.tMs, this.#options.cells, [firstN])
      return
    }
    const secondSample = frame.sides[second.cell.side]
    const secondN = second.accept(secondSample)
    const bothGood = !Number.isNaN(firstN) && !Number.isNaN(secondN)
    if (!Number.isNaN(firstN)) this.#judgeLoss(frame.tMs, first)
    if (!Number.isNaN(secondN)) this.#judgeLoss(frame.tMs, second)
    if (bothGood) this.#judgePull(frame.tMs, firstN, secondN)
    if (firstSample !== undefined && !Number.isNaN(firstN)) {
      this.#begin(frame.tMs)
      first.collect(firstSample.tMs, firstN)
    }
    if (secondSample !== undefined && !Number.isNaN(secondN)) {
      this.#begin(frame.tMs)
      second.collect(secondSample.tMs, secondN)
    }
    if (firstSample === undefined || secondSample === undefined) return
    this.#skew.take(frame, firstSample, secondSample)
    if (!bothGood) return
    this.#pairs.touch(frame.tMs).add(firstN, secondN)
    this.#drift.touch(frame.tMs).add(firstN, secondN)
    this.#residual?.add(frame.tMs, [first.cell, second.cell], [firstN, secondN])
  }

  /** When the present window began; NaN before the first good sample. */
  get windowStartMs(): number {
    return this.#windowStartMs
  }

  get isSlack(): boolean {
    return this.#pull.isSlack
  }

  /** What the channels that tell steadiness say. */
  watch(nowMs: number): Watch {
    return this.#steadiness.watched(nowMs)
  }

  /** Every figure of the zone at `now`; plain data that later samples do not change. */
  snapshot(now: MonotonicMs): ZoneSnapshot {
    const steady = this.#steady(now)
    const sides = this.#sides().map((side) => this.#side(side, now))
    const total = this.#total(now, sides)
    const rateOfTotal =
      this.#missing(now) ??
      this.#notScaled() ??
      this.#pathMoved() ??
      this.#rate(now, (b) => rateOutcome(b, this.#options, this.#perN))
    const snapshot: ZoneSnapshot = {
      nowMs: now,
      sides,
      totalMeans: tensionIsKnown(this.#options) ? 'tension' : 'force',
      total,
      rateOfTotal,
      steady,
      unjudged: this.#steadiness.watched(now).unknown,
      aux: this.#auxAt(now),
    }
    const residual = this.#residual === undefined ? {} : { residual: this.#residualAt(now, this.#residual) }
    return this.#second === undefined
      ? { ...snapshot, ...residual }
      : { ...snapshot, pair: this.#pair(now), ...residual }
  }

  #sides(): readonly SideStatistics[] {
    return this.#second === undefined ? [this.#first] : [this.#first, this.#second]
  }

  #takeAux({ aux, tMs }: ZoneFrame): void {
    const isChanged = isAnotherRoll(this.#aux.neighbour, aux.neighbour)
    for (let i = 0; i < AUX_ROLES.length; i += 1) {
      const role = AUX_ROLES[i] as AuxRole
      const sample = aux[role]
      if (sample !== undefined && sample.tMs > (this.#aux[role]?.tMs ?? Number.NEGATIVE_INFINITY))
        this.#aux[role] = sample
    }
    const cause =
      this.#steadiness.add('speed', aux.speed) ??
      this.#steadiness.add('reference', aux.reference) ??
      (isChanged ? 'the roll beside the measuring roller was changed' : undefined)
    if (cause !== undefined) this.#restart(tMs, cause)
  }

  /** Forces of both sides, or of the one cell and NaN. */
  #judgePull(tMs: number, firstN: number, secondN: number): void {
    const { drive, operator } = this.#perN
    const totalN = firstN * drive + (Number.isNaN(secondN) ? 0 : secondN * operator)
    const cause = this.#pull.add(tMs, totalN, firstN * Math.sign(drive), secondN * Math.sign(operator))
    if (cause !== undefined) this.#restart(tMs, cause)
  }

  /** Called with a side that has just given something good. */
  #judgeLoss(tMs: number, side: SideStatistics): void {
    const { lostBeforeMs } = side
    if (lostBeforeMs === 0) return
    const name = SIDE_NAMES[side.cell.side]
    this.#restart(tMs, `the ${name} was lost for ${shortDuration(lostBeforeMs / 1000)}`)
  }

  /** Notes a good sample: the window begins with the first, and anew after a silence longer than itself. */
  #begin(tMs: number): void {
    if (!(tMs - this.#lastGoodMs <= this.#options.averageMs)) this.#windowStartMs = tMs
    this.#lastGoodMs = tMs
  }

  #restart(tMs: number, cause: string): void {
    this.#windowStartMs = tMs
    this.#restartedBy = cause
    this.#first.restart()
    this.#second?.restart()
    this.#perNAtStart = this.#perN.drive
    this.#pairs.clear()
    this.#drift.clear()
    this.#residual?.restart()
  }

  /** A side that gives nothing good makes every figure of the pair unknown. */
  #missing(now: number): Outcome | undefined {
    for (const side of this.#sides()) {
      const why = side.missing(now)
      if (why !== undefined) return { kind: 'no-data', why }
    }
    return undefined
  }

  #side(side: SideStatistics, now: MonotonicMs): SideSnapshot {
    const { cell } = side
    const live = side.live(now)
    const knowsTension = cell.forceFactor !== null
    const why = side.missing(now)
    if (why !== undefined) {
      const none: Outcome = { kind: 'no-data', why }
      return { side: cell.side, live, force: none, tension: knowsTension ? none : null, noise: none, peakToPeak: none }
    }
    const buckets = side.buckets(now)
    const mean = side.mean(buckets)
    const force = sideOutcome(cell, mean, buckets, 1) ?? this.#collecting(now, buckets)
    const tension =
      cell.forceFactor === null
        ? null
        : (this.#notScaled() ??
          sideOutcome(cell, mean, buckets, 1 / cell.forceFactor, this.#options) ??
          this.#collecting(now, buckets))
    const noise = side.noise(now, force.kind === 'told' ? force.quantity : undefined, this.#unfit)
    return { side: cell.side, live, force, tension, noise: noise.sigma, peakToPeak: noise.peakToPeak }
  }

  #total(now: MonotonicMs, sides: readonly SideSnapshot[]): Outcome {
    const only = sides[0]
    if (this.#second === undefined && only !== undefined) return only.tension ?? only.force
    const missing = this.#missing(now) ?? this.#notScaled()
    if (missing !== undefined) return missing
    const buckets = this.#pairs.since(now - this.#options.averageMs)
    return totalOutcome(buckets, this.#options, this.#perN) ?? this.#collectingPairs(now, buckets)
  }

  #pair(now: MonotonicMs): NonNullable<ZoneSnapshot['pair']> {
    const skew = this.#skew.now
    const unfit = this.#unfit
    const blocked = this.#missing(now) ?? (unfit === undefined ? undefined : waiting(unfit))
    if (blocked !== undefined) return { imbalance: blocked, lineOfPull: blocked, driftOfSideDifference: blocked, skew }
    const buckets = this.#pairs.since(now - this.#options.averageMs)
    const collecting = () => this.#collectingPairs(now, buckets)
    return {
      imbalance: imbalanceOutcome(buckets, this.#options) ?? collecting(),
      lineOfPull: lineOfPullOutcome(buckets, this.#options) ?? collecting(),
      driftOfSideDifference: this.#rate(now, (b) => driftOutcome(b, this.#options)),
      skew,
    }
  }

  /** A rate over the drift window, once that is long enough to tell one. */
  #rate(
    now: number,
    outcome: (buckets: readonly Bucket<BivariateMoments>[]) => Outcome | undefined,
    since = (sinceMs: number): readonly Bucket<BivariateMoments>[] => this.#drift.since(sinceMs),
  ): Outcome {
    const buckets = since(now - this.#options.driftMs)
    const ranMs = (buckets.at(-1)?.lastMs ?? 0) - (buckets[0]?.firstMs ?? 0)
    const leastMs = Math.min(ENOUGH_FOR_DRIFT_MS, LEAST_SHARE_OF_DRIFT * this.#options.driftMs)
    if (ranMs < leastMs) {
      const least = shortDuration(leastMs / 1000)
      return waiting(`a rate is told from ${least} on: about ${shortDuration((leastMs - ranMs) / 1000)} more`)
    }
    return outcome(buckets) ?? waiting(collectingRateWords(this.#drift))
  }

  #notScaled(): Outcome | undefined {
    return this.#unscaled === undefined ? undefined : { kind: 'no-data', why: this.#unscaled }
  }

  /** A force factor that moved with the web path: the forces of the drift window no longer stand for one tension. */
  #pathMoved(): Outcome | undefined {
    const moved = Math.abs(this.#perN.drive / this.#perNAtStart - 1)
    return moved > MOST_PATH_MOVE
      ? waiting(`the web path moved: its force factor changed by ${shortNumber(100 * moved)} % in the window`)
      : undefined
  }

  #residualAt(now: MonotonicMs, track: ResidualTrack): ResidualSnapshot {
    const cells = this.#sides().map(({ cell }) => cell)
    const { slackText: slack, awayText: away } = this.#pull
    const { whyNot } = track
    const unknown: Outcome | undefined = whyNot === undefined ? undefined : { kind: 'no-data', why: whyNot }
    const blocked = this.#missing(now) ?? unknown ?? (slack === undefined ? undefined : waiting(slack))
    if (blocked !== undefined)
      return { state: null, sides: cells.map(({ side }) => [side, blocked]), total: blocked, drift: blocked }
    const collecting = (buckets: readonly Bucket<unknown>[]): Outcome =>
      this.#second === undefined ? this.#collecting(now, buckets) : this.#collectingPairs(now, buckets)
    return {
      ...track.at(now, cells, collecting),
      drift: away === undefined ? this.#residualDrift(now, track) : waiting(away),
    }
  }

  #residualDrift(now: number, track: ResidualTrack): Outcome {
    return this.#options.watches.reference
      ? this.#rate(now, residualRate, (sinceMs) => track.driftSince(sinceMs))
      : waiting('a typed tension does not follow the machine: its drift needs a reference channel')
  }

  /** Why nothing may be compared, divided by or followed; undefined while the web pulls as it can. */
  get #unfit(): string | undefined {
    return this.#pull.slackText ?? this.#pull.awayText
  }

  /** Why a window has too few batches yet. */
  #collecting(now: number, buckets: readonly Bucket<unknown>[]): Outcome {
    const notSteady = this.#notSteady(now)
    return waiting(notSteady ?? collectingWords(now, buckets, this.#options.averageMs))
  }

  /** The same for figures of both sides, which may each be well read and yet never at one instant. */
  #collectingPairs(now: number, buckets: readonly Bucket<unknown>[]): Outcome {
    const eachIsRead = this.#sides().every((side) => side.buckets(now).length >= MIN_BATCHES)
    return buckets.length === 0 && eachIsRead ? waiting(NEVER_TOGETHER) : this.#collecting(now, buckets)
  }

  /** The sentence while a restarted window is too short to be called steady. */
  #notSteady(now: number): string | undefined {
    if (this.#restartedBy === undefined) return undefined
    const leftMs = this.#windowStartMs + this.#settleMs - now
    return leftMs > 0 ? `not steady: ${this.#restartedBy}; about ${shortDuration(leftMs / 1000)} more` : undefined
  }

  /** A window this long can give its first figure. */
  get #settleMs(): number {
    return (this.#options.averageMs * MIN_BATCHES) / AVERAGE_BUCKETS
  }

  #steady(now: number): SteadyState {
    const forSeconds = Number.isNaN(this.#windowStartMs) ? 0 : Math.max(0, now - this.#windowStartMs) / 1000
    const isLost = this.#sides().every((side) => side.missing(now) !== undefined)
    return steadyState(this.#steadiness.watched(now), isLost, this.#notSteady(now), forSeconds)
  }

  #auxAt(now: number): ZoneSnapshot['aux'] {
    const live: Partial<Record<AuxRole, LiveSample>> = {}
    for (const [role, staleAfterMs] of Object.entries(this.#options.auxStaleAfterMs) as [AuxRole, number][]) {
      const sample = this.#aux[role] ?? null
      live[role] = { sample, stale: sample !== null && now - sample.tMs > staleAfterMs }
    }
    return live
  }
}
