import type { ChannelConfig } from '../../shared/schemas/config.ts'
import { forceN } from './force.ts'
import { twoPoint } from './two-point.ts'
import { valueSi } from './value.ts'

/** Raw number → mA, V or mV/V; null where the channel has no electrical scale. */
export function electricalOf(channel: ChannelConfig, raw: number): number | null {
  const scale = channel.electrical
  return scale === undefined ? null : twoPoint(scale.counts, scale.reads, raw)
}

/**
 * Reading (electrical where there is a scale, else raw) → SI value.
 * Throws RangeError when the channel has no scale for what it measures; the config check refuses that earlier.
 */
export function siValueOf(channel: ChannelConfig, reading: number): number {
  if (channel.measures === 'force') {
    if (channel.force === undefined) throw new RangeError(`channel ${channel.id} has no force scale`)
    return forceN(channel.force, reading)
  }
  if (channel.scale === undefined) throw new RangeError(`channel ${channel.id} has no scale`)
  return valueSi(channel.measures, channel.scale, reading)
}
