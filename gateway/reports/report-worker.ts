import { parentPort } from 'node:worker_threads'
import { serveCalls } from '../recorder/worker-calls.ts'
import { type ReportParts, recordReport } from './record-report.ts'

const handlers = {
  /** On its way here a photo has become plain bytes. */
  page: (parts: ReportParts): string =>
    recordReport({ ...parts, photos: new Map([...parts.photos].map(([hash, bytes]) => [hash, Buffer.from(bytes)])) }),
}
export type ReportHandlers = typeof handlers

if (parentPort !== null) serveCalls(parentPort, handlers)
