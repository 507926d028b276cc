import type { StoredEvent } from '../../shared/schemas/events.ts'
import type { NewBaseline, NewNote } from '../../shared/schemas/notes.ts'

const TIME_MS = 1_760_000_000_000
const KEY = '2f1f6f0e-5f0c-4c5e-9a51-8f3f6d1f8c11'

export const exampleNote: NewNote = {
  key: KEY,
  who: 'A. Fitter',
  text: 'New core; web break while threading.',
  timeMs: TIME_MS,
}

export const exampleNewBaseline: NewBaseline = {
  key: KEY,
  who: 'A. Fitter',
  text: 'As handed over, web at normal tension.',
  fromMs: TIME_MS - 7_200_000,
  toMs: TIME_MS,
}

export const exampleNoteEvent: StoredEvent = {
  id: 19,
  timeMs: TIME_MS,
  kind: 'note',
  zone: 'unwind',
  who: exampleNote.who,
  text: exampleNote.text,
  data: { key: KEY, writtenMs: TIME_MS + 60_000 },
}
