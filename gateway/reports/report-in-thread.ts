import { Worker } from 'node:worker_threads'
import { WorkerCalls } from '../recorder/worker-calls.ts'
import type { ReportParts } from './record-report.ts'
import type { ReportHandlers } from './report-worker.ts'

/**
 * The page of a record, made in a thread of its own: finding some thousand texts in the catalogue takes a second, and
 * whoever watches the line notices nothing. The thread ends with it.
 */
export async function reportInThread(parts: ReportParts): Promise<string> {
  // Not the parent's flags: its loader does not serve here.
  const worker = new Worker(new URL('./report-worker.mjs', import.meta.url), { execArgv: [] })
  const calls = new WorkerCalls<ReportHandlers>(worker, () => {})
  try {
    return await calls.call('page', [parts])
  } finally {
    await calls.terminate()
  }
}
