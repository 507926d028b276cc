import type { ZoneRows } from '../../lib/spectrum/signals.ts'
import { zoneSpectrum } from '../../lib/spectrum/zone-spectrum.ts'
import type { ZoneSpectrum } from '../../shared/schemas/spectrum.ts'
import type { Clock } from '../clock.ts'
import type { ZoneStage } from '../stages/zone-stage.ts'
import { inSlices } from './in-slices.ts'

/** Everybody who asks within this time gets the same spectrum: it changes slowly, and costs. */
const KEEP_MS = 1000

interface Kept {
  readonly stage: ZoneStage
  readonly askedMs: number
  readonly spectrum: Promise<ZoneSpectrum>
}

/** Spectra of the zones' newest samples, one computation at a time. */
export class Spectra {
  readonly #clock: Clock
  readonly #rows: (zoneId: string, seconds: number) => ZoneRows | undefined
  readonly #kept = new Map<string, Kept>()
  #queue: Promise<unknown> = Promise.resolve()

  /** @param rows the newest rows of a zone that are not older than so many seconds; undefined when it keeps none */
  constructor(clock: Clock, rows: (zoneId: string, seconds: number) => ZoneRows | undefined) {
    this.#clock = clock
    this.#rows = rows
  }

  of(stage: ZoneStage, seconds: number): Promise<ZoneSpectrum> {
    this.#forget()
    const key = `${stage.inputs.zone.id} ${seconds}`
    const kept = this.#kept.get(key)
    if (kept?.stage === stage) return kept.spectrum
    const spectrum = this.#queue.then(() => this.#compute(stage, seconds))
    this.#queue = spectrum.catch(() => undefined)
    this.#kept.set(key, { stage, askedMs: this.#clock.now(), spectrum })
    return spectrum
  }

  #forget(): void {
    const now = this.#clock.now()
    for (const [key, { askedMs }] of this.#kept) if (now - askedMs >= KEEP_MS) this.#kept.delete(key)
  }

  #compute(stage: ZoneStage, seconds: number): Promise<ZoneSpectrum> {
    const { zone, channels, rateHz } = stage.inputs
    const now = this.#clock.now()
    const steps = zoneSpectrum({
      zone,
      channels,
      rateHz: Math.min(...Object.values(zone.cells).map((id) => rateHz.get(id) ?? 1)),
      rows: this.#rows(zone.id, seconds) ?? NO_ROWS,
      seconds,
      nowMs: this.#clock.toEpoch(now),
      skewMs: stage.now(this.#clock).skew?.value ?? null,
    })
    return inSlices(steps, this.#clock.now)
  }
}

const NO_ROWS: ZoneRows = { columns: [], timesMs: new Float64Array(), values: [], qualities: [] }
