import type { Side, ZoneFrame } from '../../shared/sample.ts'
import type { FrameSink } from '../pipeline.ts'

/** Keeps what an alarm would miss by looking four times a second: a blow on a cell lasts less. O(1) a frame. */
export class OverloadWatch implements FrameSink {
  readonly #peaks = new Map<string, number>()

  frame(zoneId: string, { sides }: ZoneFrame): void {
    for (const side in sides) {
      const sample = sides[side as Side]
      if (sample?.code !== 'over-capacity' || sample.value === null) continue
      const key = keyOf(zoneId, side as Side)
      const known = this.#peaks.get(key) ?? 0
      if (Math.abs(sample.value) > Math.abs(known)) this.#peaks.set(key, sample.value)
    }
  }

  /** Force of the worst sample over capacity since the last `clear`, N; null when there was none. */
  peak(zoneId: string, side: Side): number | null {
    return this.#peaks.get(keyOf(zoneId, side)) ?? null
  }

  clear(): void {
    this.#peaks.clear()
  }
}

const keyOf = (zoneId: string, side: Side): string => `${zoneId}.${side}`
