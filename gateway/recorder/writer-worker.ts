import { parentPort } from 'node:worker_threads'
import { EvenpullError } from '../../shared/errors.ts'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import type { RevisionScales } from './revision-scales.ts'
import { StoreWriter } from './store-writer.ts'
import type { NamedMinute } from './stored-rows.ts'
import { serveCalls } from './worker-calls.ts'
import type { Found, NamedColumn, OutboxRow, WriterLimits, WriterOptions } from './writer-facts.ts'

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
  minutes: (rows: readonly NamedMinute[]) => opened().minutes(rows),
  /** Also how long the batch took, ms: what it keeps the writer from. */
  retain(nowMs: number, mostRows: number): { readonly isMore: boolean; readonly tookMs: number } {
    const began = performance.now()
    const isMore = opened().retain(nowMs, mostRows)
    return { isMore, tookMs: performance.now() - began }
  },
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
