import { qualityFromByte, qualityOf } from '../../shared/quality.ts'
import type { Side } from '../../shared/sample.ts'
import type { SideNow, ZoneNow } from '../../shared/schemas/now.ts'
import type { ZoneRing } from './ring.ts'

/** Epoch ms of the newest usable (good or uncertain) row of a column; null when the ring holds none. */
export function newestUsableMs(ring: ZoneRing, column: number): number | null {
  const qualities = ring.qualities(column)
  for (let i = qualities.length - 1; i >= 0; i--)
    if (qualityOf(qualityFromByte(qualities[i] ?? 255)) !== 'bad') return ring.timeAt(i)
  return null
}

/** When each side last gave a usable sample: kept here because pictures and rings forget it in a long outage. */
export class LastGood {
  readonly #timesMs = new Map<string, number>()

  note(zone: ZoneNow): void {
    for (const [side, { live }] of Object.entries(zone.sides) as [Side, SideNow][])
      if (qualityOf(live.code) !== 'bad' && live.timeMs !== null) this.#keep(keyOf(zone.zone, side), live.timeMs)
  }

  /** Epoch ms; null when this page knows of no usable sample. `ring` holds what came before the page was opened. */
  of(zoneId: string, side: Side, ring: ZoneRing | null): number | null {
    const key = keyOf(zoneId, side)
    const column = ring?.columnOf(side) ?? -1
    const held = ring === null || column < 0 ? null : newestUsableMs(ring, column)
    if (held !== null) this.#keep(key, held)
    return this.#timesMs.get(key) ?? null
  }

  clear(): void {
    this.#timesMs.clear()
  }

  #keep(key: string, timeMs: number): void {
    this.#timesMs.set(key, Math.max(timeMs, this.#timesMs.get(key) ?? timeMs))
  }
}

const keyOf = (zoneId: string, side: Side) => `${zoneId}/${side}`
