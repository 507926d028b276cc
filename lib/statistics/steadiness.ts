import type { Sample } from '../../shared/sample.ts'
import { Constancy } from './constancy.ts'
import { shortDuration, shortNumber } from './words.ts'
import type { SteadyState } from './zone-snapshot.ts'
import type { ZoneStatisticsOptions } from './zone-statistics-options.ts'

/** A change of speed under this counts as none, whatever its percentage: 0.01 m/s (common practice, no source). */
const LEAST_SPEED_CHANGE = 0.01
/** Encoder and reference noise is smoothed over this before it is judged (common practice, no source). */
const SMOOTHING_MS = 300

type Watched = 'speed' | 'reference'
const NAMES: Readonly<Record<Watched, string>> = { speed: 'the speed', reference: 'the reference' }

/** What speed and reference say of steady running. */
export interface Watch {
  /** Those that give good samples, with their limits; empty where the zone has neither. */
  readonly seen: readonly string[]
  /** A channel that the zone has gives nothing good: nothing that needs steady running may be judged. */
  readonly unknown: string | undefined
}

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

  /** What the watched channels say at `nowMs`. */
  watched(nowMs: number): Watch {
    const seen: string[] = []
    const unseen: string[] = []
    for (const role of ['speed', 'reference'] as const) {
      if (!this.#options.watches[role]) continue
      const age = nowMs - this.#lastGoodMs[role]
      if (age <= (this.#options.auxStaleAfterMs[role] ?? 0))
        seen.push(`${NAMES[role]} (within ${shortNumber(this.#limit(role))} %)`)
      else unseen.push(NAMES[role])
    }
    if (unseen.length === 0) return { seen, unknown: undefined }
    const which = `${unseen.join(' and ')} give${unseen.length === 1 ? 's' : ''} no good sample`
    return { seen, unknown: `${which}: nobody knows whether the web runs steadily` }
  }

  #limit(role: Watched): number {
    return role === 'speed' ? this.#options.steady.speedPercent : this.#options.steady.referencePercent
  }
}

/** @param notSteady why the window has just begun anew; `isLost` no cell gives a good sample */
export function steadyState(
  { seen, unknown }: Watch,
  isLost: boolean,
  notSteady: string | undefined,
  forSeconds: number,
): SteadyState {
  const told = (state: SteadyState['state'], text: string) => ({ state, sentence: sentence(text), forSeconds })
  if (isLost) return told('unknown', 'the load cells give no good sample: nobody can say whether the web runs')
  if (unknown !== undefined) return told('unknown', unknown)
  if (notSteady !== undefined) return told('not-steady', notSteady)
  if (seen.length === 0) return told('assumed', 'no speed or reference channel: steady running is assumed')
  return told('steady', `steady for ${shortDuration(forSeconds)}: ${seen.join(' and ')}`)
}

function sentence(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`
}
