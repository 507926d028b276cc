import { z } from 'zod'

const side = z.enum(['drive_side', 'operator_side', 'single']).nullable()

export const comparedFigure = z.object({
  test: z.string(),
  figure: z.string(),
  side,
  point: z.string().nullable(),
  unit: z.string(),
  before: z.number().nullable(),
  after: z.number().nullable(),
  /** After less before and its expanded uncertainty; null where there is none to tell. */
  difference: z.object({ value: z.number(), U: z.number() }).nullable(),
  sentence: z.string(),
})

const which = z.object({ id: z.string(), title: z.string(), begunMs: z.number() })

/** The body of GET /api/verifications/ID/compare?with=EARLIER: what changed beyond its uncertainty, not merely what differs. */
export const recordComparison = z.object({
  earlier: which,
  later: which,
  changed: z.array(comparedFigure),
  unchanged: z.array(comparedFigure),
  notComparable: z.array(comparedFigure),
})

export const compareQuery = z.strictObject({ with: z.string().min(1).max(60).describe('Id of the earlier record') })
export const reportQuery = z.strictObject({
  with: z.string().min(1).max(60).optional().describe('Id of an earlier record to compare with'),
})

export type ComparedFigure = z.infer<typeof comparedFigure>
export type RecordComparison = z.infer<typeof recordComparison>
