import { z } from 'zod'
import { instant } from './instant.ts'

/** What an event is about; the trail of a plant reads by these. */
export const EVENT_KINDS = [
  'gateway', // started, stopped
  'recording', // began, degraded, stopped, went on
  'clock-step', // the wall clock was set
  'config', // a revision came into force
  'device', // lost, back
  'alarm', // every transition of an alarm
  'note', // what a person wrote
  'baseline', // a stretch was named as the one to compare with
  'access', // log-in, log-out, users and roles, refusals
  'export', // data were taken away
  'forward', // a destination was reached, lost, or messages for it were dropped
  'verification', // a record was begun, added to, signed, corrected
] as const
export type EventKind = (typeof EVENT_KINDS)[number]

/** One line of the trail. It is never changed; a correction is a new event. */
export const storedEvent = z.object({
  /** Grows by the order in which things were recorded, whatever the wall clock did; never used twice. */
  id: z.int().positive(),
  /** Epoch ms. */
  timeMs: z.number(),
  kind: z.enum(EVENT_KINDS),
  /** null: it concerns the whole gateway. */
  zone: z.string().nullable(),
  /** Who answers for it; null where nobody did. */
  who: z.string().nullable(),
  /** One English sentence. */
  text: z.string(),
  /** Details for a program; its form belongs to the kind. */
  data: z.record(z.string(), z.unknown()),
})
const newEvent = storedEvent.omit({ id: true })

export const eventList = z.object({
  /** Newest first. */
  events: z.array(storedEvent),
  /** Ask again with before=this for older ones; null when there are none. */
  olderBefore: z.number().nullable(),
})

export const eventsQuery = z.strictObject({
  zone: z.string().min(1).max(80).optional().describe('Only of this zone'),
  kind: z.enum(EVENT_KINDS).optional(),
  from: instant.optional().describe('Begin, included: epoch ms or ISO 8601'),
  to: instant.optional().describe('End, not included'),
  before: z.coerce.number().int().min(1).optional().describe('Only events of a smaller id: olderBefore of an answer'),
  limit: z.coerce.number().int().min(1).max(1000).default(100),
})

export type EventsQuery = z.output<typeof eventsQuery>
export type StoredEvent = z.infer<typeof storedEvent>
export type NewEvent = z.infer<typeof newEvent>
export type EventList = z.infer<typeof eventList>

/** Whether the text of an event is what a person typed, and not a sentence of the gateway. */
export const isTyped = (kind: EventKind): boolean => kind === 'note' || kind === 'baseline'
