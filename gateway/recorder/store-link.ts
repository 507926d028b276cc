import { Worker } from 'node:worker_threads'
import type { ReaderHandlers } from './reader-worker.ts'
import { WorkerCalls } from './worker-calls.ts'
import type { WriterHandlers } from './writer-worker.ts'

/** The two threads that work on the store; they live as long as the recorder, whichever file is open. */
export class StoreLink {
  readonly writer: WorkerCalls<WriterHandlers>
  readonly reader: WorkerCalls<ReaderHandlers>

  /** `ended` is told when a thread died; the link is of no use then. */
  constructor(ended: (error: Error) => void) {
    this.writer = new WorkerCalls<WriterHandlers>(thread('./writer-worker.mjs'), ended)
    this.reader = new WorkerCalls<ReaderHandlers>(thread('./reader-worker.mjs'), ended)
  }

  /** Ends the threads; a file that is open should have been closed before. */
  async terminate(): Promise<void> {
    await Promise.all([this.writer.terminate(), this.reader.terminate()])
  }
}

/** Not the parent's flags: its loader does not serve here. */
const thread = (entry: string): Worker => new Worker(new URL(entry, import.meta.url), { execArgv: [] })
