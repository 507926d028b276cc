import type { MonotonicMs } from '../../shared/brand.ts'
import type { QualityCode } from '../../shared/quality.ts'
import type { ChannelConfig } from '../../shared/schemas/config.ts'
import { capacityCode } from './capacity.ts'
import { ne43Code } from './ne43.ts'
import { rangeCode } from './range.ts'
import { StuckDetector } from './stuck.ts'

/** Whether NE 43 applies: as the config says, else to every load cell read in mA. */
function usesNe43(channel: ChannelConfig): boolean {
  if (channel.quality.signal !== undefined) return channel.quality.signal === '4-20mA'
  return channel.measures === 'force' && channel.electrical?.unit === 'mA'
}

/**
 * Judges each sample of one channel, in the order from "no number" to "doubtful number":
 * not a number → NE 43 failure → range and 150 % of capacity → frozen → NE 43 saturation, uncertain range, capacity.
 * Only load cells are held to be always moving: a set tension or a speed may rightly stand still.
 */
export class ChannelQuality {
  readonly #channel: ChannelConfig
  readonly #ne43: boolean
  readonly #stuck: StuckDetector

  constructor(channel: ChannelConfig) {
    this.#channel = channel
    this.#ne43 = usesNe43(channel)
    this.#stuck = new StuckDetector(channel.measures === 'force' ? channel.quality.stuck_after_s * 1000 : 0)
  }

  /**
   * @param raw number as decoded
   * @param reading the same in the electrical unit, or raw where the channel has none
   */
  judge(tMs: MonotonicMs, raw: number, reading: number): QualityCode {
    if (!Number.isFinite(raw) || !Number.isFinite(reading)) return 'not-a-number'
    const stuck = this.#stuck.isStuck(tMs, raw)
    const level = this.#ne43 ? ne43Code(reading) : 'good'
    if (level === 'wire-break' || level === 'short-circuit') return level
    const range = rangeCode(reading, this.#channel.quality.range, this.#channel.quality.range_uncertain)
    if (range === 'under-range' || range === 'over-range') return range
    const { force, measures } = this.#channel
    const load = measures === 'force' && force !== undefined ? capacityCode(force, reading) : 'good'
    if (load === 'over-range') return load
    if (stuck) return 'frozen'
    if (level !== 'good') return level
    return range === 'good' ? load : range
  }

  /** When the present raw value first came. */
  get stillSinceMs(): number {
    return this.#stuck.sinceMs
  }

  /** No answer came: a frozen value cannot be told across a gap. */
  gap(): void {
    this.#stuck.reset()
  }
}
