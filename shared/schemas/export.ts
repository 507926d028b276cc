import { z } from 'zod'
import { instant } from './instant.ts'

export const EXPORT_FORMATS = ['csv', 'parquet'] as const
export type ExportFormat = (typeof EXPORT_FORMATS)[number]

/** Names an export so that it can be watched and cancelled; the one who asks makes it up. */
const exportJobId = z.string().regex(/^[A-Za-z0-9-]{8,64}$/, 'use 8 to 64 of A–Z, a–z, 0–9 and -')

export const exportQuery = z
  .strictObject({
    from: instant.describe('Begin, included: epoch ms or ISO 8601'),
    to: instant.describe('End, not included'),
    format: z.enum(EXPORT_FORMATS).default('csv'),
    job: exportJobId.optional().describe('A name to watch it by: GET /api/exports/JOB'),
  })
  .refine(({ from, to }) => from < to, { path: ['to'], message: 'to must be after from' })

const EXPORT_STATES = ['running', 'whole', 'cancelled', 'failed'] as const

/** How far an export has come. */
export const exportProgress = z.object({
  job: z.string(),
  state: z.enum(EXPORT_STATES),
  /** Rows handed over so far. */
  rows: z.int().min(0),
  /** Share of the range that is through, 0 to 1, by time. */
  share: z.number().min(0).max(1),
  /** Why it failed; null otherwise. */
  why: z.string().nullable(),
})

export type ExportQuery = z.output<typeof exportQuery>
export type ExportProgress = z.infer<typeof exportProgress>
