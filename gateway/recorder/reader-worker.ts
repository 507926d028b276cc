import { parentPort } from 'node:worker_threads'
import { EvenpullError } from '../../shared/errors.ts'
import { type EventQuery, StoreReader } from './store-reader.ts'
import { serveCalls } from './worker-calls.ts'

let reader: StoreReader | null = null

function opened(): StoreReader {
  if (reader === null) throw new EvenpullError('EVP_RECORDER_STOPPED', 'the store is not open')
  return reader
}

/** What the main thread may ask of the reader. */
const handlers = {
  open(path: string): void {
    reader?.close()
    reader = null
    reader = new StoreReader(path)
  },
  history: (zone: string, fromMs: number, toMs: number, points: number) => opened().history(zone, fromMs, toMs, points),
  samplePage: (zone: string, fromTick: number, toTick: number) => opened().samplePage(zone, fromTick, toTick),
  rangeFacts: (zone: string, fromMs: number, toMs: number) => opened().rangeFacts(zone, fromMs, toMs),
  minutes: (zone: string, fromMs: number, toMs: number) => opened().minutes(zone, fromMs, toMs),
  events: (query: EventQuery) => opened().events(query),
  document: (kind: string, id: string) => opened().document(kind, id),
  documents: (kind: string, fromId?: string) => opened().documents(kind, fromId),
  outboxAfter: (seq: number, limit: number) => opened().outboxAfter(seq, limit),
  outboxExtent: () => opened().outboxExtent(),
  outboxNewest: (topicPrefix: string) => opened().outboxNewest(topicPrefix),
  close(): void {
    reader?.close()
    reader = null
  },
}
export type ReaderHandlers = typeof handlers

if (parentPort !== null) serveCalls(parentPort, handlers)
