import type { RawReading, Sample } from '../../shared/sample.ts'
import type { ChannelStage } from './channel-stage.ts'

/** A channel with its raw number out of one reading; null when the reading does not hold it. */
export interface ReadChannel {
  readonly channel: ChannelStage
  readonly raw: number | null
}

/**
 * Judges the channels of one reading, in their order, and together: a module whose every load cell is frozen has
 * stopped converting, so what else stood still in its answer as long is no live number either. Only load cells give
 * a module away: a speed or a set tension may rightly stand still.
 */
export function judgeAnswer(channels: readonly ReadChannel[], reading: RawReading): Sample[] {
  const samples: Sample[] = new Array(channels.length)
  let cells = 0
  let frozen = 0
  let stillSinceMs = Number.NEGATIVE_INFINITY
  for (let i = 0; i < channels.length; i += 1) {
    const { channel, raw } = channels[i] as ReadChannel
    if (channel.config.measures !== 'force') continue
    const sample = judged(channel, raw, reading)
    samples[i] = sample
    cells += 1
    if (sample.code !== 'frozen') continue
    frozen += 1
    stillSinceMs = Math.max(stillSinceMs, channel.stillSinceMs)
  }
  const module = cells > 0 && frozen === cells ? stillSinceMs : undefined
  for (let i = 0; i < channels.length; i += 1) {
    const { channel, raw } = channels[i] as ReadChannel
    if (channel.config.measures !== 'force') samples[i] = judged(channel, raw, reading, module)
  }
  return samples
}

function judged(channel: ChannelStage, raw: number | null, reading: RawReading, moduleStillSinceMs?: number): Sample {
  const { tMs, halfWidthMs } = reading
  if (raw !== null) return channel.accept(tMs, halfWidthMs, raw, moduleStillSinceMs)
  return channel.gap(tMs, halfWidthMs, reading.kind === 'gap' ? reading.code : 'missing')
}
