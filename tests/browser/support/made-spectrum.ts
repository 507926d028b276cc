import { inSlices } from '../../../gateway/spectrum/in-slices.ts'
import type { StreamHub } from '../../../gateway/stream/hub.ts'
import { zoneSpectrum } from '../../../lib/spectrum/zone-spectrum.ts'
import { zone as zoneSchema } from '../../../shared/schemas/config/zone.ts'
import type { ZoneConfig } from '../../../shared/schemas/config.ts'
import type { ZoneSpectrum } from '../../../shared/schemas/spectrum.ts'
import { MADE_RATE_HZ, madeZones, TWO_SIDED } from './made-line.ts'

function madeZoneConfig(id: string): ZoneConfig {
  const cells = id === TWO_SIDED ? { drive_side: 'a', operator_side: 'b' } : { single: 'a' }
  return zoneSchema.parse({ id, cells })
}

/** The product's own computation on the made samples; undefined for a zone that is not made. */
export function madeSpectrum(
  hub: StreamHub,
  id: string,
  seconds: number,
  epochMs: () => number,
): Promise<ZoneSpectrum> | undefined {
  if (!madeZones.zones.some((zone) => zone.id === id)) return undefined
  const steps = zoneSpectrum({
    zone: madeZoneConfig(id),
    channels: new Map(),
    rateHz: MADE_RATE_HZ,
    rows: hub.recent(id, seconds) ?? { columns: [], timesMs: new Float64Array(), values: [], qualities: [] },
    seconds,
    nowMs: epochMs(),
    skewMs: 0,
  })
  return inSlices(steps, () => performance.now())
}
