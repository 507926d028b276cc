import type { MeasuredMinute } from '../../lib/drift/minute-track.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import type { FrameSink } from '../pipeline.ts'

/** Where the minutes of a stretch come from: the recorder, or this memory. */
export interface MinuteStore {
  /** Minutes that begin at `fromMs` or later and before `toMs`, epoch ms, oldest first. */
  minutes(zone: string, fromMs: number, toMs: number): Promise<readonly ZoneMinute[]>
}

/** Kept of each zone: 24 h. */
const MOST = 24 * 60

/** The last 24 h of minutes of each zone, for as long as nothing else keeps them. A minute that is no later than the newest is dropped. */
export class MinuteMemory implements MinuteStore, FrameSink {
  readonly #revision: () => string
  readonly #zones = new Map<string, ZoneMinute[]>()

  /** @param revision of the config in force */
  constructor(revision: () => string) {
    this.#revision = revision
  }

  minute(zoneId: string, minute: MeasuredMinute): void {
    const rows = this.#zones.get(zoneId) ?? []
    this.#zones.set(zoneId, rows)
    if (minute.tMs <= (rows.at(-1)?.tMs ?? Number.NEGATIVE_INFINITY)) return
    rows.push({ ...minute, revision: this.#revision() })
    if (rows.length > MOST) rows.shift()
  }

  async minutes(zone: string, fromMs: number, toMs: number): Promise<readonly ZoneMinute[]> {
    return (this.#zones.get(zone) ?? []).filter(({ tMs }) => tMs >= fromMs && tMs < toMs)
  }
}
