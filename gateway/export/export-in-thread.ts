import { WorkerCalls } from '../recorder/worker-calls.ts'
import { startThread } from '../small-thread.ts'
import type { ExportHandlers, ExportWork } from './export-worker.ts'
import type { ExportedChunk } from './write-export.ts'

/**
 * An export made in a thread of its own, with a reader of its own: whoever watches the line notices nothing. The thread
 * ends with the generator.
 */
export async function* exportInThread(work: ExportWork): AsyncGenerator<ExportedChunk> {
  const entry = new URL('./export-worker.mjs', import.meta.url)
  const calls = new WorkerCalls<ExportHandlers>(startThread(entry, work), () => {})
  try {
    for (let chunk = await calls.call('next', []); chunk !== null; chunk = await calls.call('next', [])) yield chunk
  } finally {
    await calls.terminate()
  }
}
