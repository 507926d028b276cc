import { geometryFromConfig, usualForceFactors } from '../lib/geometry/from-config.ts'
import { entriesOf } from '../lib/geometry/sided.ts'
import { capacityN } from '../lib/scale/force.ts'
import type { Config, ZoneConfig } from '../shared/schemas/config.ts'
import type { ZoneInfo, ZoneList } from '../shared/schemas/zones.ts'
import { rateOf, rolesOf } from './stages/zone-stage.ts'

/** What pages and API clients need to know of the zones before the first sample. */
export function zoneListOf(config: Config): ZoneList {
  return {
    plant: config.plant ?? null,
    line: config.line ?? null,
    zones: config.zones.map((zone) => zoneInfoOf(config, zone)),
  }
}

/** One zone as pages know it. */
export function zoneInfoOf(config: Config, zone: ZoneConfig): ZoneInfo {
  const cells = Object.entries(zone.cells)
  return {
    id: zone.id,
    name: zone.name ?? zone.id,
    columns: rolesOf(zone).map(([role]) => role),
    totalMeans: zone.force_factor === undefined && zone.geometry === undefined ? 'force' : 'tension',
    cellDistanceM: zone.cell_distance_m ?? null,
    webWidthM: zone.web_width_m ?? null,
    webOffsetM: zone.web_offset_m,
    capacityN: Object.fromEntries(cells.map(([side, id]) => [side, cellCapacityN(config, id)])),
    forceFactor: forceFactorOf(config, zone),
    ...geometryInfo(zone),
    rateHz: Math.min(...cells.map(([, id]) => rateOf(config, id))),
    averageSeconds: zone.average_s,
  }
}

/**
 * By side, from the geometry, or from one number for both or one for each; null without any, and where it moves with a
 * live neighbour: one number for all streamed samples would then be wrong for most of them.
 */
function forceFactorOf(config: Config, zone: ZoneConfig): ZoneInfo['forceFactor'] {
  const channels = new Map(config.channels.map((channel) => [channel.id, channel]))
  const configured = geometryFromConfig(zone, channels)
  if (configured !== undefined)
    return zone.neighbour === undefined ? Object.fromEntries(entriesOf(usualForceFactors(zone, configured))) : null
  const factor = zone.force_factor
  if (factor === undefined) return null
  return typeof factor === 'number' ? Object.fromEntries(Object.keys(zone.cells).map((side) => [side, factor])) : factor
}

function geometryInfo(zone: ZoneConfig): Pick<ZoneInfo, 'webMassKgM'> {
  const { geometry } = zone
  return geometry === undefined ? {} : { webMassKgM: (geometry.basis_weight_gsm / 1000) * (zone.web_width_m ?? 0) }
}

function cellCapacityN(config: Config, channelId: string): number {
  const scale = config.channels.find((c) => c.id === channelId)?.force
  if (scale === undefined) throw new RangeError(`channel ${channelId} has no force scale`)
  return capacityN(scale)
}
