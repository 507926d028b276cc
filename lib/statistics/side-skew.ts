import type { MonotonicMs } from '../../shared/brand.ts'
import type { Sample, ZoneFrame } from '../../shared/sample.ts'
import type { ZoneSnapshot } from './zone-snapshot.ts'

type Skew = NonNullable<ZoneSnapshot['pair']>['skew']

/** Time between the samples of both sides of a frame, ms, with the half width that their own times are known to. */
export class SideSkew {
  #ms = 0
  #halfWidthMs = 0
  /** −∞ before the first frame with both sides. */
  #tMs = Number.NEGATIVE_INFINITY

  /** A frame that is no later than the one before is ignored. */
  take({ skewMs, tMs }: ZoneFrame, first: Sample, second: Sample): void {
    if (skewMs === null || !(tMs > this.#tMs)) return
    this.#ms = skewMs
    this.#halfWidthMs = Math.hypot(first.halfWidthMs, second.halfWidthMs)
    this.#tMs = tMs
  }

  /** Null before the first frame with both sides. */
  get now(): Skew {
    if (this.#tMs === Number.NEGATIVE_INFINITY) return null
    return { ms: this.#ms, halfWidthMs: this.#halfWidthMs, tMs: this.#tMs as MonotonicMs }
  }
}
