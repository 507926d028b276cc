import { z } from 'zod'
import { diagnosis, diagnosisContext, diagnosisFeature } from './diagnosis.ts'

/**
 * The body of GET /api/zones/ID/diagnosis: what could be wrong with a zone, from what runs now, what the last hours
 * moved, and a verification record where one is named.
 */
export const zoneDiagnosis = z.object({
  zone: z.string(),
  timeMs: z.number(),
  /** Id and title of the record that was read too; null for what runs alone. */
  record: z.object({ id: z.string(), title: z.string() }).nullable(),
  /** What went in: anybody can post it to /api/compute/diagnosis and get the same. */
  features: z.array(diagnosisFeature),
  context: diagnosisContext,
  diagnosis,
})

export const zoneDiagnosisQuery = z.strictObject({
  record: z.string().min(1).max(60).optional().describe('Id of a verification record of this zone'),
})

export type ZoneDiagnosis = z.infer<typeof zoneDiagnosis>
