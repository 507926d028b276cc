import { z } from 'zod'
import { storedEvent } from './events.ts'
import { change, drift, period, step } from './shift.ts'

/** A mean over the steady minutes of a shift, with its expanded uncertainty at about 95 %. */
const summaryMean = z.object({
  what: change.shape.what,
  unit: z.string(),
  value: z.number(),
  U: z.number(),
  minutes: z.int(),
})

/** What a side read while the zone ran steadily: along its arrow, N. Lowest and highest are of single good samples. */
const summarySide = z.object({
  side: z.enum(['drive_side', 'operator_side', 'single']),
  mean: z.number(),
  lo: z.number(),
  hi: z.number(),
  /** Good samples behind it. */
  samples: z.int(),
})

/** A stretch without a good sample of these sides, to the nearest row of the history. */
const summaryGap = z.object({
  fromMs: z.number(),
  toMs: z.number(),
  sides: z.array(summarySide.shape.side),
})

/**
 * The facts of a shift: what the page prints on two sheets and the command line writes as JSON. Times are epoch ms,
 * values SI, shares in percent.
 */
export const shiftSummary = z.object({
  plant: z.string().nullable(),
  line: z.string().nullable(),
  zone: z.object({ id: z.string(), name: z.string() }),
  fromMs: z.number(),
  toMs: z.number(),
  /** When it was put together: nothing in it is newer. */
  madeMs: z.number(),
  /** In force, oldest first; the first one was in force when the shift began. */
  revisions: z.array(z.object({ timeMs: z.number(), revision: z.string() })),
  recording: z.object({
    /** Where drift and means come from, as a sentence; null when nothing could be asked. */
    sentence: z.string().nullable(),
    /** Length from which a gap is told, ms: a row of the history, or some distances between its samples. */
    rowMs: z.number(),
    gaps: z.array(summaryGap),
  }),
  steadiness: z.object({
    state: z.enum(['steady', 'assumed', 'none', 'unknown']),
    /** Minutes the zone spent in each state. */
    minutes: z.partialRecord(period.shape.state, z.int()),
    judged: z.int(),
    asked: z.int(),
  }),
  sides: z.array(summarySide),
  means: z.array(summaryMean),
  drifts: z.array(drift),
  steps: z.array(step),
  /** Against the stretch it was compared with; null when none was. */
  compared: z.object({ fromMs: z.number(), toMs: z.number(), changes: z.array(change) }).nullable(),
  /** The transition that made each alarm active that was so when the shift began. */
  standing: z.array(storedEvent),
  alarms: z.array(storedEvent),
  notes: z.array(storedEvent),
  /** Config, clock, devices, recording: what else happened, oldest first. */
  happened: z.array(storedEvent),
  /** That it is no certificate. */
  sentence: z.string(),
})

export type SummaryMean = z.infer<typeof summaryMean>
export type SummarySide = z.infer<typeof summarySide>
export type SummaryGap = z.infer<typeof summaryGap>
export type ShiftSummary = z.infer<typeof shiftSummary>
