import { z } from 'zod'
import { AUX_ROLES } from '../sample.ts'
import { instant } from './instant.ts'

/** What a history may hold beside the forces: see the units in each series. */
const HISTORY_SERIES = [
  'drive_side',
  'operator_side',
  'single',
  'total',
  'imbalance',
  'residual',
  ...AUX_ROLES,
] as const
export type HistorySeries = (typeof HISTORY_SERIES)[number]

/** min/max/mean of good samples alone a bucket; null in all three where there was none, so that a gap is drawn as a gap. */
const envelope = z.object({
  unit: z.string(),
  min: z.array(z.number().nullable()),
  max: z.array(z.number().nullable()),
  mean: z.array(z.number().nullable()),
  /** Good samples in each bucket. */
  n: z.array(z.int().min(0)),
})

/** The body of GET /api/zones/ID/history: buckets on absolute time, oldest first. */
export const zoneHistory = z.object({
  zone: z.string(),
  fromMs: z.number(),
  toMs: z.number(),
  /** Width of a bucket, ms; 0 when each row is one sample. */
  bucketMs: z.number(),
  /** Where the rows came from: the samples themselves, or a roll-up of so many seconds. */
  source: z.enum(['samples', 'roll-up']),
  /** Start of each bucket, epoch ms. */
  timesMs: z.array(z.number()),
  series: z.partialRecord(z.enum(HISTORY_SERIES), envelope),
  /** Config revisions in force in the range, oldest first; the first one was in force at fromMs. */
  revisions: z.array(z.object({ timeMs: z.number(), revision: z.string() })),
  /** Where the wall clock was set: by so many ms, at this time. */
  clockSteps: z.array(z.object({ timeMs: z.number(), stepMs: z.number() })),
  /** Oldest and newest sample kept for this zone; null when nothing is. */
  keptFromMs: z.number().nullable(),
  keptToMs: z.number().nullable(),
})

export const historyQuery = z
  .strictObject({
    from: instant.describe('Begin, included: epoch ms or ISO 8601'),
    to: instant.describe('End, not included'),
    points: z.coerce.number().int().min(2).max(5000).default(1000).describe('Most rows of the answer'),
  })
  .refine(({ from, to }) => from < to, { path: ['to'], message: 'to must be after from' })

export type HistoryQuery = z.output<typeof historyQuery>
export type Envelope = z.infer<typeof envelope>
export type ZoneHistory = z.infer<typeof zoneHistory>
