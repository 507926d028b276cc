import { channel } from '../../../shared/schemas/config/channel.ts'
import { zone } from '../../../shared/schemas/config/zone.ts'
import type { ChannelConfig, ZoneConfig } from '../../../shared/schemas/config.ts'
import type { ZoneFacts } from '../../../shared/schemas/config-write.ts'
import type { Drawing } from './rollers.ts'

/**
 * The zone and its two channels as lib/geometry reads them, put together from what the gateway tells of the zone and
 * from the drawing. Throws a ZodError for a drawing that the config would refuse.
 */
export function zoneConfigOf(
  facts: ZoneFacts,
  drawing: Drawing,
): { readonly zone: ZoneConfig; readonly channels: ReadonlyMap<string, ChannelConfig> } {
  const { cells } = facts
  const { single, drive_side: drive, operator_side: operator } = cells
  const channels = Object.values(cells).map((cell) =>
    channel.parse({
      id: cell.channel,
      device: 'gateway',
      force: {
        unit: 'N',
        zero: cell.zero,
        gain: cell.gainN,
        capacity: cell.capacityN,
        u_gain_percent: cell.uGainPercent,
      },
    }),
  )
  return {
    zone: zone.parse({
      id: facts.id,
      cells:
        single === undefined
          ? { drive_side: drive?.channel, operator_side: operator?.channel }
          : { single: single.channel },
      ...(facts.cellDistanceM === null ? {} : { cell_distance_m: facts.cellDistanceM }),
      ...(facts.webWidthM === null ? {} : { web_width_m: facts.webWidthM }),
      web_offset_m: facts.webOffsetM,
      geometry: drawing,
    }),
    channels: new Map(channels.map((one) => [one.id, one])),
  }
}
