import type { Recorder } from '../recorder/recorder.ts'

export type { OutboxExtent, OutboxRow, StoredOutboxRow } from '../recorder/recorder.ts'

/** What sending on needs of the recorder; each rejects while nothing can be kept. */
export interface QueueStore {
  readonly outbox: Recorder['outbox']
  readonly document: Pick<Recorder['document'], 'get' | 'put'>
  events: Recorder['events']
}

/** Whether there is a store now, and which: another place is another queue. */
export type StoreAccess =
  | { readonly place: string; readonly store: QueueStore }
  | { readonly place: null; readonly why: string }

/** A recorder as far as it can keep messages now. */
export function accessOf(recorder: Recorder): StoreAccess {
  const { state, file, sentence } = recorder.status()
  const isOpen = (state === 'running' || state === 'roll-ups-only') && file !== null
  return isOpen ? { place: file, store: recorder } : { place: null, why: sentence }
}
