import { z } from 'zod'
import { positive } from './parts.ts'

/** Older goes first, then the oldest while there is more than that. */
const kept = (days: number, mb: number) =>
  z.strictObject({ days: positive.default(days), mb: positive.default(mb) }).prefault({})

export const keep = z.strictObject({
  samples: kept(60, 20_000).describe('Every sample at full rate'),
  roll_ups: kept(1100, 4000).describe('Figures of 10 s, 1 min, 10 min and 1 h'),
  minutes: kept(1100, 2000).describe('Minutes of each zone, which drift and shift summaries rest on'),
  events: kept(3650, 500).describe('The trail'),
  outbox: kept(30, 500).describe('What waits to be forwarded'),
})

export const recorder = z.strictObject({
  enabled: z.boolean().default(true).describe('false: nothing is kept, live viewing goes on'),
  folder: z
    .string()
    .min(1)
    .default('.evenpull')
    .describe('Where the store is, relative to the config file; made when it is not there'),
  min_free_mb: positive
    .default(500)
    .describe('With less space free on its disk only roll-ups are written, not every sample (common practice)'),
  keep: keep.prefault({}).describe('For how long, and how much at most, in days and MB of each kind'),
})
