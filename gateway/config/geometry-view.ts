import type { GeometryView } from '../../shared/schemas/config-write.ts'
import { zoneFactsOf } from '../zone-facts.ts'
import { valueAt } from './json-schema.ts'
import type { LoadedConfig } from './load.ts'

/** The geometry of a zone as it is written in the file, null where it has none; undefined where there is no such zone. */
export function geometryViewOf({ config, written, revision }: LoadedConfig, id: string): GeometryView | undefined {
  const index = config.zones.findIndex((one) => one.id === id)
  const zone = config.zones[index]
  if (zone === undefined) return undefined
  const geometry = valueAt(written, ['zones', index, 'geometry']) as GeometryView['geometry'] | undefined
  return { geometry: geometry ?? null, revision, zone: zoneFactsOf(config, zone) }
}
