import { ChannelQuality } from '../../lib/quality/channel-quality.ts'
import { electricalOf, siValueOf } from '../../lib/scale/channel-scale.ts'
import type { MonotonicMs } from '../../shared/brand.ts'
import { type QualityCode, qualityOf } from '../../shared/quality.ts'
import type { Sample } from '../../shared/sample.ts'
import type { ChannelConfig } from '../../shared/schemas/config.ts'

export interface ChannelCounts {
  good: number
  uncertain: number
  bad: number
}

/** One channel's part of the journey: raw number → quality → scale, its newest sample and its counts. */
export class ChannelStage {
  readonly config: ChannelConfig
  readonly counts: ChannelCounts = { good: 0, uncertain: 0, bad: 0 }
  last: Sample | null = null
  readonly #quality: ChannelQuality

  constructor(config: ChannelConfig) {
    this.config = config
    this.#quality = new ChannelQuality(config)
  }

  /**
   * A number came: judge it, then scale it unless it is bad. `moduleStillSinceMs` tells since when every load cell of
   * the same answer has stood still, where they are frozen: a number that has not moved since either is frozen too.
   */
  accept(tMs: MonotonicMs, halfWidthMs: number, raw: number, moduleStillSinceMs?: number): Sample {
    const electrical = electricalOf(this.config, raw)
    const reading = electrical ?? raw
    const own = this.#quality.judge(tMs, raw, reading)
    const isStill = moduleStillSinceMs !== undefined && this.#quality.stillSinceMs <= moduleStillSinceMs
    const code = isStill && qualityOf(own) !== 'bad' ? 'frozen' : own
    const usable = qualityOf(code) !== 'bad'
    return this.#keep({
      tMs,
      halfWidthMs,
      raw: Number.isFinite(raw) ? raw : null,
      electrical: electrical !== null && Number.isFinite(electrical) ? electrical : null,
      value: usable ? siValueOf(this.config, reading) : null,
      code,
    })
  }

  /** When the present raw number first came. */
  get stillSinceMs(): number {
    return this.#quality.stillSinceMs
  }

  /** No number came. */
  gap(tMs: MonotonicMs, halfWidthMs: number, code: QualityCode): Sample {
    this.#quality.gap()
    return this.#keep({ tMs, halfWidthMs, raw: null, electrical: null, value: null, code })
  }

  #keep(sample: Sample): Sample {
    this.last = sample
    this.counts[qualityOf(sample.code)]++
    return sample
  }
}
