import { z } from 'zod'
import { diagnosis, diagnosisContext, diagnosisFeature } from './diagnosis.ts'

/**
 * The body of GET /api/zones/ID/diagnosis: what could be wrong with a zone, from what runs now, what the last hours
 * moved, and a verification record where one is named.
 */
export const zoneDiagnosis = z.object({
  zone: z.string(),
  timeMs: z.number(),
  /** The record that was read; `alone` for a signed one, beside which nothing of today is read. null: what runs, alone. */
  record: z.object({ id: z.string(), title: z.string(), alone: z.boolean() }).nullable(),
  /** What went in: anybody can post it to /api/compute/diagnosis and get the same. */
  features: z.array(diagnosisFeature),
  context: diagnosisContext,
  diagnosis,
})

export const zoneDiagnosisQuery = z.strictObject({
  record: z.string().min(1).max(60).optional().describe('Id of a verification record of this zone'),
})

export type ZoneDiagnosis = z.infer<typeof zoneDiagnosis>
