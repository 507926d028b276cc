import { Worker } from 'node:worker_threads'
import { WorkerCalls } from '../recorder/worker-calls.ts'
import type { ExportHandlers, ExportWork } from './export-worker.ts'
import type { ExportedChunk } from './write-export.ts'

/**
 * An export made in a thread of its own, with a reader of its own: whoever watches the line notices nothing. The thread
 * ends with the generator.
 */
export async function* exportInThread(work: ExportWork): AsyncGenerator<ExportedChunk> {
  const entry = new URL('./export-worker.mjs', import.meta.url)
  // Not the parent's flags: its loader does not serve here.
  const worker = new Worker(entry, { execArgv: [], workerData: work })
  const calls = new WorkerCalls<ExportHandlers>(worker, () => {})
  try {
    for (let chunk = await calls.call('next', []); chunk !== null; chunk = await calls.call('next', [])) yield chunk
  } finally {
    await calls.terminate()
  }
}
