import type { Sample } from '../../shared/sample.ts'
import { Constancy } from './constancy.ts'
import { shortNumber } from './words.ts'
import type { ZoneStatisticsOptions } from './zone-statistics-options.ts'

/** A change of speed under this counts as none, whatever its percentage: 0.01 m/s (common practice, no source). */
const LEAST_SPEED_CHANGE = 0.01
/** Encoder and reference noise is smoothed over this before it is judged (common practice, no source). */
const SMOOTHING_MS = 300

type Watched = 'speed' | 'reference'
const NAMES: Readonly<Record<Watched, string>> = { speed: 'the speed', reference: 'the reference' }

/** Whether speed and reference have stayed the same over the averaging window. Without either, steadiness is assumed. */
export class Steadiness {
  readonly #options: ZoneStatisticsOptions
  readonly #tracks: Readonly<Record<Watched, Constancy>>
  readonly #lastGoodMs: Record<Watched, number> = {
    speed: Number.NEGATIVE_INFINITY,
    reference: Number.NEGATIVE_INFINITY,
  }

  constructor(options: ZoneStatisticsOptions) {
    this.#options = options
    const common = { windowMs: options.averageMs, smoothingMs: SMOOTHING_MS }
    const { speedPercent, referencePercent } = options.steady
    this.#tracks = {
      speed: new Constancy({
        ...common,
        percent: speedPercent,
        floor: (100 * LEAST_SPEED_CHANGE) / speedPercent,
      }),
      reference: new Constancy({ ...common, percent: referencePercent, floor: options.slackBelowN }),
    }
  }

  /** Returns why the zone is not steady when this sample shows it, else undefined. A sample seen before changes nothing. */
  add(role: Watched, sample: Sample | undefined): string | undefined {
    if (sample === undefined || sample.code !== 'good' || sample.value === null || !Number.isFinite(sample.value))
      return undefined
    if (!(sample.tMs > this.#lastGoodMs[role])) return undefined
    this.#lastGoodMs[role] = sample.tMs
    const percent = this.#tracks[role].add(sample.tMs, sample.value)
    if (percent === 0) return undefined
    return `${NAMES[role]} changed by ${shortNumber(percent)} % (limit ${shortNumber(this.#limit(role))} %)`
  }

  /** The watched channels that give no good sample at `nowMs`, and those that do. */
  watched(nowMs: number): { readonly seen: readonly string[]; readonly unseen: readonly string[] } {
    const seen: string[] = []
    const unseen: string[] = []
    for (const role of ['speed', 'reference'] as const) {
      if (!this.#options.watches[role]) continue
      const age = nowMs - this.#lastGoodMs[role]
      if (age <= (this.#options.auxStaleAfterMs[role] ?? 0))
        seen.push(`${NAMES[role]} (within ${shortNumber(this.#limit(role))} %)`)
      else unseen.push(NAMES[role])
    }
    return { seen, unseen }
  }

  #limit(role: Watched): number {
    return role === 'speed' ? this.#options.steady.speedPercent : this.#options.steady.referencePercent
  }
}
