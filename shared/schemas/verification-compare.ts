import { z } from 'zod'
import { DECIMAL_SIGNS, LANGUAGES } from '../languages.ts'
import { namedUnits, UNITS_HELP } from '../unit-choice.ts'
import { verdictState } from './now.ts'
import { sideName } from './verification/test-ids.ts'
import { testPhase } from './verification.ts'

/** A figure as one of the records tells it. */
const comparedValue = z.object({
  value: z.number().nullable(),
  U: z.number().nullable(),
  answer: z.enum(['yes', 'no']).nullable(),
  state: verdictState,
  /** Where it was measured, in the record's own words; null where that does not matter. */
  point: z.string().nullable(),
  phase: testPhase,
  /** Its entry in the record, and when that was added, epoch ms. */
  seq: z.int().positive(),
  timeMs: z.number(),
})

const comparedFigure = z.object({
  test: z.string(),
  testTitle: z.string(),
  figure: z.string(),
  title: z.string(),
  side: sideName.nullable(),
  unit: z.string(),
  /** null: not in that record. */
  before: comparedValue.nullable(),
  after: comparedValue.nullable(),
  /** After less before and its expanded uncertainty; null where there is none to tell. */
  difference: z.object({ value: z.number(), U: z.number() }).nullable(),
  /** Size of the difference as a share of what its limit allows (half of one with two ends); null without one. */
  ofLimit: z.number().nullable(),
  /** Why it cannot be compared; null where it can. */
  reason: z.string().nullable(),
  sentence: z.string(),
})

const comparedFigures = z.object({
  /** Judged otherwise first, then the largest against their limits. */
  changed: z.array(comparedFigure),
  /** Not told apart: the difference is within its uncertainty. */
  unchanged: z.array(comparedFigure),
  notComparable: z.array(comparedFigure),
})

const which = z.object({
  id: z.string(),
  title: z.string(),
  begunMs: z.number(),
  revision: z.string(),
  signed: z.boolean(),
})

/** The body of GET /api/verifications/ID/compare?with=EARLIER: what changed beyond its uncertainty, not merely what differs. */
export const recordComparison = comparedFigures.extend({
  earlier: which,
  later: which,
  /**
   * What the earlier visit left against what the later one found before it changed anything; null where the later one
   * kept nothing as found. The lists above hold the newest result of both.
   */
  onReturn: comparedFigures.nullable(),
  /** What a reader of the lists must know, one sentence each. */
  notes: z.array(z.string()),
})

export const compareQuery = z.strictObject({ with: z.string().min(1).max(60).describe('Id of the earlier record') })
export const reportQuery = z.strictObject({
  with: z.string().min(1).max(60).optional().describe('Id of an earlier record to compare with'),
  paper: z.enum(['a4', 'letter']).optional().describe('Size of the sheets; what the printer has where it is not told'),
  lang: z
    .enum(LANGUAGES, {
      error: `there are no texts in that language: ask for ${LANGUAGES.join(' or ')}, or leave it out`,
    })
    .optional()
    .describe('Language of the page; English where it is not told. What people typed stays as it is'),
  decimal: z
    .enum(DECIMAL_SIGNS, {
      error: `no number is written with that sign: ask for ${DECIMAL_SIGNS.join(' or ')}, or leave it out`,
    })
    .optional()
    .describe('Decimal sign; that of the language where it is not told'),
  units: z
    .string()
    .max(60)
    .refine((text) => namedUnits(text) !== null, {
      error: `these are no units of a report: ask for ${UNITS_HELP}, or leave it out`,
    })
    .optional()
    .describe(
      'Units of the page: si, us, or one of each kind with commas, as lbf,ft/min,F,in; a kind that is not told is SI. The record is SI in any',
    ),
})

export type ComparedValue = z.infer<typeof comparedValue>
export type ComparedFigure = z.infer<typeof comparedFigure>
export type ComparedFigures = z.infer<typeof comparedFigures>
export type RecordComparison = z.infer<typeof recordComparison>
