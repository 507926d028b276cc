import { z } from 'zod'
import { sideName } from './test-ids.ts'

const told = z.object({ value: z.number(), u: z.number() })

/** What the page asks to have kept: a stretch of the zone's recorded signal. */
export const captureAsk = z.strictObject({
  key: z.uuid(),
  /** Id of the planCapture. */
  capture: z.string().min(1).max(60),
  fromMs: z.number().min(0).max(8.64e15),
  toMs: z.number().min(0).max(8.64e15),
  values: z.record(z.string().max(60), z.union([z.number(), z.string().max(500), z.boolean()])).default({}),
})

/** What one side did in a capture, out of its good samples alone; null where none was good. */
const capturedSide = z.object({
  samples: z.int().min(0),
  good: z.int().min(0),
  /** Mean of the electrical value (mA, V, mV/V or counts) with its standard uncertainty, autocorrelation respected. */
  electrical: told.nullable(),
  electricalUnit: z.string(),
  /** Mean force along the arrow after the zero in force, N. */
  force: told.nullable(),
  min: z.number().nullable(),
  max: z.number().nullable(),
  /** Standard deviation after slow motion is removed, N; and the same peak to peak. */
  noise: z.number().nullable(),
  peakToPeak: z.number().nullable(),
  /** Distinct values among the good samples, and the smallest step between two, N. */
  distinct: z.int().min(0),
  step: z.number().nullable(),
  /** Share of samples at an end of the range, 0 to 1. */
  atEnd: z.number(),
  /** Samples that were bad, and in how many separate stretches. */
  bad: z.int().min(0),
  badStretches: z.int().min(0),
  /** Single samples far from their neighbours. */
  spikes: z.int().min(0),
})

const capturedLine = z.object({
  side: z.string(),
  hertz: z.number(),
  amplitude: z.number(),
  u: z.number(),
  /** Kinds and names of what could make it, most likely first. */
  sources: z.array(z.string()),
})

/** A capture as the gateway keeps it: the stretch, protected in the store, and what came out of it. */
export const capture = captureAsk.extend({
  revision: z.string(),
  /**
   * Where its samples were read from when it is longer than ten minutes, epoch ms: everything below is of the stretch
   * from there to `toMs`, but for times counted from `fromMs`. Absent: of the whole.
   */
  sampledFromMs: z.number().optional(),
  sides: z.partialRecord(sideName, capturedSide),
  /** Mean web tension (force along the arrows without a force factor), N; side difference, %; measured less expected, N. */
  total: told.nullable(),
  imbalance: told.nullable(),
  residual: told.nullable(),
  expected: told.nullable(),
  /** Means of what the zone reads beside its cells: m/s, N, °C, m, 1/s. */
  speed: told.nullable(),
  reference: told.nullable(),
  temperature: told.nullable(),
  neighbour: told.nullable(),
  rollerSpeed: told.nullable(),
  lines: z.array(capturedLine),
  /**
   * Where a signal moved: change of each side's force from before to after, N; when half of it was there, s from
   * `fromMs`; from a tenth to nine tenths of it, s, null where that was too fast to tell. null where nothing moved.
   */
  change: z.partialRecord(sideName, z.object({ by: told, atS: z.number(), riseS: z.number().nullable() }).nullable()),
  /** The picture, at most 400 points: seconds from `fromMs`, force of each side, null is a gap. */
  trace: z.object({
    t: z.array(z.number()),
    sides: z.partialRecord(sideName, z.array(z.number().nullable())),
  }),
})

export type CaptureAsk = z.infer<typeof captureAsk>
export type CapturedSide = z.infer<typeof capturedSide>
export type Capture = z.infer<typeof capture>
