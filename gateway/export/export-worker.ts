import { parentPort, workerData } from 'node:worker_threads'
import type { ExportFormat } from '../../shared/schemas/export.ts'
import { StoreReader } from '../recorder/store-reader.ts'
import { serveCalls } from '../recorder/worker-calls.ts'
import type { ExportFacts } from './export-facts.ts'
import { blocksOf, type ExportedChunk, writeExport } from './write-export.ts'

/** What one export works on. */
export interface ExportWork {
  readonly storePath: string
  readonly format: ExportFormat
  readonly facts: ExportFacts
}

const { storePath, format, facts } = workerData as ExportWork
const reader = new StoreReader(storePath)
const chunks = writeExport(format, facts, blocksOf(reader, facts))

/** Only what is asked for is made: a slow reader holds the work up, not the memory. */
const handlers = {
  next: async (): Promise<ExportedChunk | null> => {
    const { done, value } = await chunks.next()
    return done === true ? null : value
  },
}
export type ExportHandlers = typeof handlers

if (parentPort !== null) serveCalls(parentPort, handlers)
