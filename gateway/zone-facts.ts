import { uncertaintyOf } from '../lib/scale/default-uncertainty.ts'
import { capacityN } from '../lib/scale/force.ts'
import { readingStep } from '../lib/scale/step.ts'
import type { ChannelConfig, Config, ZoneConfig } from '../shared/schemas/config.ts'
import type { CellFacts, ZoneFacts } from '../shared/schemas/config-write.ts'
import { toSi } from '../shared/units.ts'
import { zoneInfoOf } from './zone-list.ts'

/** What a page needs to know of a zone to work out or change what its cells should read. */
export function zoneFactsOf(config: Config, zone: ZoneConfig): ZoneFacts {
  const { id, name, cellDistanceM, webWidthM, webOffsetM, forceFactor } = zoneInfoOf(config, zone)
  const cells = Object.entries(zone.cells as Record<string, string>).map(([side, channelId]) => {
    const channel = config.channels.find((c) => c.id === channelId)
    if (channel === undefined) throw new RangeError(`no channel ${channelId}`)
    return [side, cellFactsOf(channel)] as const
  })
  return {
    id,
    name,
    cellDistanceM,
    webWidthM,
    webOffsetM,
    forceFactor: forceFactor ?? null,
    cells: Object.fromEntries(cells),
  }
}

function cellFactsOf(channel: ChannelConfig): CellFacts {
  const { force, electrical } = channel
  if (force === undefined) throw new RangeError(`channel ${channel.id} has no force scale`)
  return {
    channel: channel.id,
    name: channel.name ?? channel.id,
    capacityN: capacityN(force),
    electricalUnit: electrical?.unit ?? null,
    zero: force.zero,
    gainN: toSi('force', force.gain, force.unit),
    uGainPercent: uncertaintyOf('gain', force.u_gain_percent).percent,
    uZeroPercent: uncertaintyOf('zero', force.u_zero_percent).percent,
    range: electrical === undefined ? null : [Math.min(...electrical.reads), Math.max(...electrical.reads)],
    // A register that holds no whole number has none.
    step: readingStep(channel) || null,
  }
}
