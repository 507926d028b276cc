import { WorkerCalls } from '../recorder/worker-calls.ts'
import { startThread } from '../small-thread.ts'
import type { ReportParts } from './record-report.ts'
import type { ReportHandlers } from './report-worker.ts'

/**
 * The page of a record, made in a thread of its own: finding some thousand texts in the catalogue takes a second, and
 * whoever watches the line notices nothing. The thread ends with it.
 */
export async function reportInThread(parts: ReportParts): Promise<string> {
  const entry = new URL('./report-worker.mjs', import.meta.url)
  const calls = new WorkerCalls<ReportHandlers>(startThread(entry), () => {})
  try {
    return await calls.call('page', [parts])
  } finally {
    await calls.terminate()
  }
}
