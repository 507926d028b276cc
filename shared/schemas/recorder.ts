import { z } from 'zod'
import { errorBody } from './error-body.ts'

/** The kinds of data that have a limit each. */
export const KEPT_KINDS = ['samples', 'roll_ups', 'minutes', 'events', 'outbox'] as const
export type KeptKind = (typeof KEPT_KINDS)[number]

/** `roll-ups-only`: the disk is nearly full, figures go on but not every sample; `off`: the config says so. */
export const recorderState = z.enum(['running', 'roll-ups-only', 'stopped', 'off'])

/** How the recorder is: part of GET /api/health. */
export const recorderStatus = z.object({
  state: recorderState,
  /** One English sentence: what it does, or why not. */
  sentence: z.string(),
  /** Why it does not run as it should; null while it does. */
  error: errorBody.nullable(),
  /** Said early: the disk will be full. Null otherwise. */
  warning: z.string().nullable(),
  /** Since when it has been in this state, epoch ms. */
  sinceMs: z.number(),
  /** Where the store is; null when it is off. */
  file: z.string().nullable(),
  /** Size of the store on the disk; null when unknown. */
  bytes: z.number().nullable(),
  /** What the disk has left, and under how much only roll-ups are written. */
  freeBytes: z.number().nullable(),
  minFreeBytes: z.number(),
  /** What is kept of each kind, some seconds after the start and then once an hour; empty before. */
  kept: z.array(
    z.object({
      kind: z.enum(KEPT_KINDS),
      bytes: z.number(),
      /** Epoch ms of the oldest; null when there is none. */
      fromMs: z.number().nullable(),
      /** The limits of the config. */
      days: z.number(),
      mb: z.number(),
    }),
  ),
  /** Samples that could not be kept since the start. */
  lostSamples: z.number(),
  /** Events that wait to be written. */
  waitingEvents: z.number(),
  /** How far times stand ahead of the wall clock, because it was set back; negative: behind, set forward; 0 usually. */
  aheadMs: z.number(),
})

export type RecorderState = z.infer<typeof recorderState>
export type RecorderStatus = z.infer<typeof recorderStatus>
