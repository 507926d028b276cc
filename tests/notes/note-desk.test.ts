import { describe, expect, it } from 'vitest'
import { NoteDesk } from '../../gateway/notes/note-desk.ts'
import type { EventQuery, Recorder } from '../../gateway/recorder/recorder.ts'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import { type NewNote, newBaseline, newNote } from '../../shared/schemas/notes.ts'

const NOW = 1_760_000_000_000
const KEY = '2f1f6f0e-5f0c-4c5e-9a51-8f3f6d1f8c11'
const OTHER = '2f1f6f0e-5f0c-4c5e-9a51-8f3f6d1f8c12'
const NOTE: NewNote = { key: KEY, who: 'A. Fitter', text: 'Core changed.', timeMs: NOW - 60_000 }

/** A store whose writing can be held up, and what is in it. */
function made(state: 'running' | 'roll-ups only' | 'off' | 'stopped' = 'running') {
  const events: StoredEvent[] = []
  const documents = new Map<string, unknown>()
  let release: () => void = () => {}
  let held: Promise<void> = Promise.resolve()
  const recorder = {
    status: () => ({ state, sentence: `Recording is ${state}.` }),
    events: async ({ zone, kind, fromMs = 0, toMs = Number.POSITIVE_INFINITY }: EventQuery) => ({
      events: events.filter((e) => e.zone === zone && e.kind === kind && e.timeMs >= fromMs && e.timeMs < toMs),
      olderBefore: null,
    }),
    event: async (event: Omit<StoredEvent, 'id'>) => {
      await held
      const stored = { id: events.length + 1, ...event }
      events.push(stored)
      return stored
    },
    document: { put: async (kind: string, id: string, value: unknown) => void documents.set(`${kind} ${id}`, value) },
  } as unknown as Recorder
  const desk = new NoteDesk({ recorder, hasZone: (id) => id === 'infeed', nowMs: () => NOW })
  const hold = () => {
    held = new Promise((resolve) => {
      release = resolve
    })
    return () => release()
  }
  return { desk, events, documents, hold }
}

describe('a note', () => {
  it('stands in the trail at the time it is about, with who wrote it and when', async () => {
    const { desk } = made()
    expect(await desk.note('infeed', NOTE)).toEqual({
      id: 1,
      kind: 'note',
      zone: 'infeed',
      who: 'A. Fitter',
      text: 'Core changed.',
      timeMs: NOW - 60_000,
      data: { key: KEY, writtenMs: NOW },
    })
  })

  it('sent again with its key is the same note, while it is being written and after a restart', async () => {
    const { desk, events, hold } = made()
    const release = hold()
    const both = Promise.all([desk.note('infeed', NOTE), desk.note('infeed', NOTE)])
    release()
    expect((await both).map(({ id }) => id)).toEqual([1, 1])
    expect((await desk.note('infeed', NOTE)).id).toBe(1)
    expect((await desk.note('infeed', { ...NOTE, key: OTHER })).id).toBe(2)
    expect(events).toHaveLength(2)
  })

  it('is answered only once it is on the disk', async () => {
    const { desk, hold } = made()
    const release = hold()
    let isAnswered = false
    const answer = desk.note('infeed', NOTE).then(() => {
      isAnswered = true
    })
    await new Promise((resolve) => setImmediate(resolve))
    expect(isAnswered).toBe(false)
    release()
    await answer
    expect(isAnswered).toBe(true)
  })

  it('is refused where only memory would hold it, and for no zone: who wrote it keeps it', async () => {
    await expect(made('off').desk.note('infeed', NOTE)).rejects.toMatchObject({ code: 'EVP_RECORDER_OFF' })
    await expect(made('stopped').desk.note('infeed', NOTE)).rejects.toMatchObject({ code: 'EVP_RECORDER_STOPPED' })
    await expect(made().desk.note('nowhere', NOTE)).rejects.toMatchObject({ code: 'EVP_NOT_FOUND' })
    expect((await made('roll-ups only').desk.note('infeed', NOTE)).id).toBe(1)
  })

  it('a refusal is not remembered: the same note is taken later', async () => {
    const { desk } = made()
    await expect(desk.note('nowhere', NOTE)).rejects.toMatchObject({ code: 'EVP_NOT_FOUND' })
    expect((await desk.note('infeed', NOTE)).id).toBe(1)
  })

  it('has a key, a name, a text and a time; nothing else, and none of them empty or endless', () => {
    expect(newNote.safeParse(NOTE).success).toBe(true)
    for (const wrong of [
      { ...NOTE, key: 'mine' },
      { ...NOTE, who: ' ' },
      { ...NOTE, text: '' },
      { ...NOTE, text: 'x'.repeat(2001) },
      { ...NOTE, timeMs: Number.NaN },
      { ...NOTE, kind: 'alarm' },
    ])
      expect(newNote.safeParse(wrong).success, JSON.stringify(wrong).slice(0, 80)).toBe(false)
  })
})

describe('a baseline', () => {
  const baseline = { key: KEY, who: 'A. Fitter', text: 'As handed over', fromMs: NOW - 7_200_000, toMs: NOW }

  it('is a line of the trail and a document of its zone, once', async () => {
    const { desk, events, documents } = made()
    const stored = await desk.baseline('infeed', baseline)
    expect(stored).toMatchObject({ kind: 'baseline', timeMs: NOW, data: { fromMs: NOW - 7_200_000, toMs: NOW } })
    expect(documents.get('baseline infeed')).toMatchObject({ fromMs: NOW - 7_200_000, who: 'A. Fitter' })
    expect((await desk.baseline('infeed', baseline)).id).toBe(stored.id)
    expect(events).toHaveLength(1)
  })

  it('ends after it begins', () => {
    expect(newBaseline.safeParse(baseline).success).toBe(true)
    expect(newBaseline.safeParse({ ...baseline, toMs: baseline.fromMs }).success).toBe(false)
  })
})
