import type { z } from 'zod'
import { type StoredEvent, storedEvent } from '../../../shared/schemas/events.ts'
import { newBaseline, newNote } from '../../../shared/schemas/notes.ts'
import { defineRoute, noQuery } from '../define-route.ts'
import { exampleNewBaseline, exampleNote, exampleNoteEvent } from '../note-examples.ts'
import type { NoteTaker, Route } from '../route.ts'

/** A note of the longest text, in UTF-8 at its widest. */
const MAX_NOTE_BYTES = 16 * 1024
const PER_SECOND = 10

interface Written<Body extends z.ZodType> {
  readonly name: string
  readonly summary: string
  readonly description: string
  readonly body: Body
  readonly example: unknown
  readonly write: (notes: NoteTaker, zone: string, body: z.output<Body>) => Promise<StoredEvent>
}

/** What people write into the trail of a zone. */
export const zoneNoteRoutes: readonly Route[] = [
  writtenRoute({
    name: 'notes',
    summary: 'Write a note at a time into the trail',
    description: 'Who, what, and the time it is about; the same key again is the same note.',
    body: newNote,
    example: exampleNote,
    write: (notes, zone, note) => notes.note(zone, note),
  }),
  writtenRoute({
    name: 'baselines',
    summary: 'Name a stretch in which the zone was right, to compare later shifts with',
    description: 'Who, what it is called, and its begin and end; the same key again is the same baseline.',
    body: newBaseline,
    example: exampleNewBaseline,
    write: (notes, zone, baseline) => notes.baseline(zone, baseline),
  }),
]

function writtenRoute<Body extends z.ZodType>({
  name,
  summary,
  description,
  body,
  example,
  write,
}: Written<Body>): Route {
  return defineRoute({
    method: 'POST',
    path: `/api/zones/{id}/${name}`,
    summary,
    parameters: [{ name: 'id', description: 'Id of the zone, as in /api/zones', example: exampleNoteEvent.zone ?? '' }],
    query: noQuery,
    queryExample: {},
    needs: 'operate',
    body: { description, schema: body, maxBytes: MAX_NOTE_BYTES, example },
    response: {
      kind: 'json',
      description: 'The line of the trail, once it is on the disk.',
      schema: storedEvent,
      example: exampleNoteEvent,
    },
    refusals: {
      404: 'No such zone.',
      429: `More than ${PER_SECOND} requests in a second.`,
      503: 'Recording is off or has stopped; nothing was kept.',
    },
    perSecond: PER_SECOND,
    handle: ({ params, body: sent, sources }) => write(sources.notes, params.id ?? '', sent),
  })
}
