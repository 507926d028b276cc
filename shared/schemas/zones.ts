import { z } from 'zod'

/** A zone as a page needs to know it before the first sample: GET /api/zones and the stream's `hello`. */
export const zoneInfo = z.object({
  id: z.string(),
  name: z.string(),
  /** Column order of this zone's sample batches; sides first. */
  columns: z.array(
    z.enum(['drive_side', 'operator_side', 'single', 'speed', 'roller_speed', 'reference', 'temperature', 'neighbour']),
  ),
  totalMeans: z.enum(['tension', 'force']),
  cellDistanceM: z.number().nullable(),
  webWidthM: z.number().nullable(),
  webOffsetM: z.number(),
  /** Rated capacity of each cell in N, by side. */
  capacityN: z.record(z.string(), z.number()),
  /**
   * Newtons along the arrow per newton of web tension, by side: a page divides streamed forces by it to show
   * web tension. Null or absent when the config has none.
   */
  forceFactor: z.record(z.string(), z.number()).nullable().optional(),
  /** Mass of the web per metre of length, kg/m: with the speed it makes m·v². Absent for a zone without geometry. */
  webMassKgM: z.number().optional(),
  /** Samples per second asked of the slower of the two cells. */
  rateHz: z.number(),
  averageSeconds: z.number(),
})
export const zoneList = z.object({
  plant: z.string().nullable(),
  line: z.string().nullable(),
  zones: z.array(zoneInfo),
})

export type ZoneInfo = z.infer<typeof zoneInfo>
export type ZoneList = z.infer<typeof zoneList>
