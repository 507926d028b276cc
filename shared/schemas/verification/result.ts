import { z } from 'zod'
import { verdict, verdictState } from '../now.ts'
import { sideName } from './test-ids.ts'

/** A result with everything that it was judged by. A yes or no has `answer` and no value. */
const recordFigure = z.object({
  /** Unique within a test together with `side` and `point`; kept in records and never reused for another quantity. */
  id: z.string(),
  title: z.string(),
  side: sideName.nullable(),
  /** Which of several points it belongs to: "120 m/min, 250 N". */
  point: z.string().nullable(),
  value: z.number().nullable(),
  unit: z.string(),
  answer: z.enum(['yes', 'no']).nullable(),
  u: z.number().nullable(),
  uRandom: z.number().nullable(),
  U: z.number().nullable(),
  k: z.number().nullable(),
  dof: z.number().nullable(),
  /** One end may be open. null: for information. */
  limit: z
    .object({ low: z.number().nullable(), high: z.number().nullable(), text: z.string(), source: z.string() })
    .nullable(),
  verdict,
  why: z.object({
    formula: z.string(),
    source: z.string(),
    inputs: z.array(
      z.object({ name: z.string(), value: z.number().nullable(), unit: z.string(), u: z.number().nullable() }),
    ),
  }),
})

export const testResult = z.object({
  figures: z.array(recordFigure),
  /** Worst of the figures: outside, then unknown, undecided, inside; not-done where nothing could be judged. */
  state: verdictState,
  sentence: z.string(),
  /** What to look at when it is not inside, one line each. */
  hints: z.array(z.string()),
})

export type RecordFigure = z.infer<typeof recordFigure>
export type TestResult = z.infer<typeof testResult>
