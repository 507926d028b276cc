import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import { useHello } from '../_stream/store.ts'
import { useQuery } from './query.ts'

const NO_ZONES: readonly ZoneInfo[] = []

export interface ZoneChoice {
  readonly zones: readonly ZoneInfo[]
  /** The zone of the address, or the first; null before the hello, for no zones, and for an unknown id. */
  readonly zone: ZoneInfo | null
  /** The id asked for in the address that no zone has. */
  readonly unknownId: string | null
}

/** Which zone the page shows: `?zone=` in the address, so that a picture can be sent as a link. */
export function useZoneChoice(): ZoneChoice {
  const hello = useHello()
  const wanted = useQuery('zone')
  const zones = hello?.zones.zones ?? NO_ZONES
  const found = wanted === null ? (zones[0] ?? null) : (zones.find((zone) => zone.id === wanted) ?? null)
  return { zones, zone: found, unknownId: hello !== null && wanted !== null && found === null ? wanted : null }
}
