import { electricalOf, siValueOf } from '../../lib/scale/channel-scale.ts'
import { qualityFromByte, qualityOf } from '../../shared/quality.ts'
import type { Side } from '../../shared/sample.ts'
import type { ChannelConfig, ZoneConfig } from '../../shared/schemas/config.ts'

/** What a revision says about channels and zones: enough to read old samples as they were read then. */
export interface RevisionScales {
  readonly channels: readonly ChannelConfig[]
  readonly zones: readonly ZoneScales[]
}

export interface ZoneScales {
  readonly zone: ZoneConfig
  /** Newtons along the arrow per newton of web tension; null without any, or where no one number tells it. */
  readonly forceFactor: Readonly<Partial<Record<Side, number>>> | null
  /** What `total` is in. */
  readonly totalMeans: 'force' | 'tension'
  /** kg a metre of web; 0 where unknown. */
  readonly webMassKgM: number
}

/** Value of a sample in SI, by the scale that was in force; NaN when it is bad or no number came. */
export type SiValue = (raw: number, code: number) => number

const BAD = Array.from({ length: 256 }, (_, byte) => qualityOf(qualityFromByte(byte)) === 'bad')

export const isGood = (byte: number): boolean => byte === 0

/** NaN for everything where the channel is not in the revision. */
export function siValuesOf(channel: ChannelConfig | undefined): SiValue {
  if (channel === undefined) return () => Number.NaN
  return (raw, code) =>
    BAD[code] === true || Number.isNaN(raw) ? Number.NaN : siValueOf(channel, electricalOf(channel, raw) ?? raw)
}
