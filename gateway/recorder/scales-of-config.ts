import type { Config } from '../../shared/schemas/config.ts'
import { zoneInfoOf } from '../zone-list.ts'
import type { RevisionScales } from './revision-scales.ts'

/** What the store keeps of a revision. */
export function scalesOf(config: Config): RevisionScales {
  return {
    channels: config.channels,
    zones: config.zones.map((zone) => {
      const { forceFactor, totalMeans, webMassKgM } = zoneInfoOf(config, zone)
      return { zone, forceFactor: forceFactor ?? null, totalMeans, webMassKgM: webMassKgM ?? 0 }
    }),
  }
}
