import { parentPort } from 'node:worker_threads'
import { EvenpullError } from '../../shared/errors.ts'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import type { RevisionScales } from './revision-scales.ts'
import {
  type Found,
  type NamedColumn,
  type OutboxRow,
  StoreWriter,
  type WriterLimits,
  type WriterOptions,
} from './store-writer.ts'
import { serveCalls } from './worker-calls.ts'

let writer: StoreWriter | null = null

function opened(): StoreWriter {
  if (writer === null) throw new EvenpullError('EVP_RECORDER_STOPPED', 'the store is not open')
  return writer
}

/** What the main thread may ask of the writer. */
const handlers = {
  open(options: WriterOptions): Found {
    writer?.close()
    writer = null
    writer = new StoreWriter(options)
    return writer.found
  },
  configure: (revision: string, timeMs: number, scales: RevisionScales) => opened().configure(revision, timeMs, scales),
  limits: (limits: WriterLimits) => opened().limit(limits),
  samples: (columns: readonly NamedColumn[]) => opened().samples(columns),
  seal: () => opened().seal(),
  minutes: (rows: readonly { readonly zone: string; readonly minute: ZoneMinute }[]) => opened().minutes(rows),
  retain: (nowMs: number) => opened().retain(nowMs),
  kept: () => opened().kept(),
  protect: (name: string, zone: string, fromMs: number, toMs: number) => opened().protect(name, zone, fromMs, toMs),
  unprotect: (name: string) => opened().unprotect(name),
  events: (events: readonly StoredEvent[]) => opened().events(events),
  putDocument: (kind: string, id: string, timeMs: number, body: string) => opened().putDocument(kind, id, timeMs, body),
  appendOutbox: (rows: readonly OutboxRow[]) => opened().appendOutbox(rows),
  trimOutbox: (seq: number) => opened().trimOutbox(seq),
  close(): void {
    writer?.close()
    writer = null
  },
}
export type WriterHandlers = typeof handlers

if (parentPort !== null) serveCalls(parentPort, handlers)
