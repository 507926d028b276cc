import type { Worker } from 'node:worker_threads'
import { startThread } from '../small-thread.ts'
import type { ReaderHandlers } from './reader-worker.ts'
import { WorkerCalls } from './worker-calls.ts'
import type { WriterHandlers } from './writer-worker.ts'

/** How long after a store was opened the reader is made ready, if nobody has asked before. */
const READY_AFTER_MS = 5000

/** The two threads that work on the store; they live as long as the recorder, whichever file is open. */
export class StoreLink {
  readonly writer: WorkerCalls<WriterHandlers>
  readonly #ended: (error: Error) => void
  #reader: WorkerCalls<ReaderHandlers> | null = null
  #path: string | null = null
  #isOpen = false
  #timer: NodeJS.Timeout | null = null

  /** `ended` is told when a thread died; the link is of no use then. */
  constructor(ended: (error: Error) => void) {
    this.#ended = ended
    this.writer = new WorkerCalls<WriterHandlers>(thread('./writer-worker.mjs'), ended)
  }

  /** The reader, on the store that was named last; its thread starts when it is first asked, or in a while. */
  get reader(): WorkerCalls<ReaderHandlers> {
    this.#reader ??= new WorkerCalls<ReaderHandlers>(thread('./reader-worker.mjs'), this.#ended)
    if (!this.#isOpen && this.#path !== null) {
      this.#isOpen = true
      // Calls are answered in their order: whoever asks next finds it open, or hears why it is not.
      this.#reader.call('open', [this.#path]).catch(() => {})
    }
    return this.#reader
  }

  /** The writer has this store open: from now on it can be read. */
  readFrom(path: string): void {
    this.#path = path
    this.#isOpen = false
    this.#timer = setTimeout(() => this.reader, READY_AFTER_MS)
    this.#timer.unref()
  }

  async closeReader(): Promise<void> {
    this.#forget()
    await this.#reader?.call('close', []).catch(() => {})
  }

  /** Ends the threads; a file that is open should have been closed before. */
  async terminate(): Promise<void> {
    this.#forget()
    await Promise.all([this.writer.terminate(), this.#reader?.terminate()])
  }

  #forget(): void {
    if (this.#timer !== null) clearTimeout(this.#timer)
    this.#path = null
    this.#isOpen = false
  }
}

const thread = (entry: string): Worker => startThread(new URL(entry, import.meta.url))
