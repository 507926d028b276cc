import type { RawReading, Sample } from '../../shared/sample.ts'
import type { ChannelStage } from './channel-stage.ts'

/** A channel with its raw number out of one reading; null when the reading does not hold it. */
export interface ReadChannel {
  readonly channel: ChannelStage
  readonly raw: number | null
}

/**
 * Judges the channels of one reading, and together: a module whose every load cell is frozen has stopped converting, so
 * what else stood still in its answer as long is no live number either. Only load cells give a module away: a speed or
 * a set tension may rightly stand still. Each channel keeps its new sample as its last.
 */
export function judgeAnswer(channels: readonly ReadChannel[], reading: RawReading): void {
  let cells = 0
  let frozen = 0
  let stillSinceMs = Number.NEGATIVE_INFINITY
  for (const { channel, raw } of channels) {
    if (channel.config.measures !== 'force') continue
    cells += 1
    if (judged(channel, raw, reading).code !== 'frozen') continue
    frozen += 1
    stillSinceMs = Math.max(stillSinceMs, channel.stillSinceMs)
  }
  const module = cells > 0 && frozen === cells ? stillSinceMs : undefined
  for (const { channel, raw } of channels)
    if (channel.config.measures !== 'force') judged(channel, raw, reading, module)
}

function judged(channel: ChannelStage, raw: number | null, reading: RawReading, moduleStillSinceMs?: number): Sample {
  const { tMs, halfWidthMs } = reading
  if (raw !== null) return channel.accept(tMs, halfWidthMs, raw, moduleStillSinceMs)
  return channel.gap(tMs, halfWidthMs, reading.kind === 'gap' ? reading.code : 'missing')
}
