import { z } from 'zod'

/**
 * What a zone did in a minute. `moving`: speed, reference or pull changed, or was settling, in any part of it. `assumed`:
 * steady by the signals alone. `unknown`: too few good samples, or a channel that tells steadiness gave none.
 */
export const zoneMinuteState = z.enum(['steady', 'assumed', 'moving', 'stopped', 'slack', 'unknown'])

const bySide = z
  .object({ drive_side: z.number().nullable(), operator_side: z.number().nullable(), single: z.number().nullable() })
  .partial()

/**
 * One minute of one zone, out of good samples alone: what drift, change and the shift rest on. SI; shares in percent.
 * A figure that cannot be told is null, never zero and never the last value.
 */
export const zoneMinute = z.object({
  /** Start of the minute, epoch ms, whole minutes; grows from row to row also where the wall clock was stepped. */
  tMs: z.number(),
  /** Frames that came, and those with every side good. */
  frames: z.int().min(0),
  good: z.int().min(0),
  state: zoneMinuteState,
  /** Median force along the arrow, N. */
  force: bySide,
  /** Standard deviation of the force after slow motion is removed, N. */
  noise: bySide,
  /** Median web tension (force along the arrows where no force factor is known), N. */
  total: z.number().nullable(),
  /** Median side difference, %; absent for one cell. */
  imbalance: z.number().nullable().optional(),
  /** What the geometry expects of the same minute, N of web tension; absent without geometry. */
  expected: z.number().nullable().optional(),
  /** Median of measured less expected, % of expected; absent without geometry. */
  residual: z.number().nullable().optional(),
  /** Means of what the zone reads beside its cells: m/s, N, °C, m. */
  speed: z.number().nullable(),
  reference: z.number().nullable(),
  temperature: z.number().nullable(),
  neighbour: z.number().nullable(),
  /** Revision of the config that was in force. */
  revision: z.string(),
})

export type ZoneMinuteState = z.infer<typeof zoneMinuteState>
export type ZoneMinute = z.infer<typeof zoneMinute>
