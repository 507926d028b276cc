import { randomUUID } from 'node:crypto'
import { EvenpullError } from '../../shared/errors.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { ExportProgress, ExportQuery } from '../../shared/schemas/export.ts'
import { StreamedBody } from '../http/streamed-body.ts'
import type { Recorder } from '../recorder/recorder.ts'
import { type ExportFacts, exportFacts, exportFileName } from './export-facts.ts'
import { type ExportJob, ExportJobs } from './export-jobs.ts'
import type { ExportWork } from './export-worker.ts'
import { type ExportedChunk, FORMATS } from './write-export.ts'

export interface ZoneExportsOptions {
  readonly recorder: Pick<Recorder, 'rangeFacts' | 'status' | 'event'>
  readonly config: () => Config
  readonly version: string
  readonly nowEpochMs: () => number
  /** Makes the file; its end, or that of its reader, frees what it holds. */
  readonly write: (work: ExportWork) => AsyncGenerator<ExportedChunk>
}

const WORDS = {
  whole: 'Samples were taken away',
  cancelled: 'An export was cancelled',
  failed: 'An export failed',
} as const

/** Samples on their way out of the house: each export is watched, can be cancelled, and leaves an event. */
export class ZoneExports {
  readonly #options: ZoneExportsOptions
  readonly #jobs = new ExportJobs()

  constructor(options: ZoneExportsOptions) {
    this.#options = options
  }

  /**
   * Rejects with EVP_NOT_FOUND where there is no such zone or not a sample, EVP_TOO_MANY, or when there is no store;
   * all but the first samples are read as the body is taken.
   */
  async begin(zone: string, query: ExportQuery, who: string | null): Promise<StreamedBody> {
    const { recorder, config, version, nowEpochMs, write } = this.#options
    const { from: fromMs, to: toMs, format } = query
    const range = { zone, fromMs, toMs }
    const kept = await recorder.rangeFacts(zone, fromMs, toMs)
    const storePath = recorder.status().file
    if (storePath === null) throw new EvenpullError('EVP_RECORDER_OFF', 'nothing is recorded')
    const job = this.#jobs.begin(query.job ?? randomUUID(), fromMs, toMs)
    const facts = exportFacts(range, config(), kept, version, nowEpochMs())
    const ended = (error: unknown) => this.#ended(job, query, facts, who, error)
    const pieces = write({ storePath, format, facts })
    const first = await pieces.next().catch((error: unknown) => {
      ended(error)
      throw error
    })
    return new StreamedBody({
      contentType: FORMATS[format].contentType,
      fileName: exportFileName(range, format),
      chunks: sent(first, pieces, job, ended),
      signal: job.cancelling.signal,
      async dropped() {
        ended(LEFT)
        await pieces.return(undefined)
      },
    })
  }

  /** Throws EVP_NOT_FOUND. */
  progress(id: string): ExportProgress {
    return this.#jobs.find(id).progress
  }

  /** Throws EVP_NOT_FOUND. One that has ended stays as it is. */
  cancel(id: string): ExportProgress {
    const job = this.#jobs.find(id)
    job.cancelling.abort(CANCELLED)
    return job.progress
  }

  #ended(job: ExportJob, { format }: ExportQuery, facts: ExportFacts, who: string | null, error: unknown): void {
    const state = error === null ? 'whole' : error === CANCELLED || error === LEFT ? 'cancelled' : 'failed'
    const why = state === 'failed' ? (error instanceof Error ? error.message : String(error)) : null
    if (!job.end(state, why)) return
    const { zone, fromMs, toMs } = facts
    void this.#options.recorder.event({
      timeMs: this.#options.nowEpochMs(),
      kind: 'export',
      zone,
      who,
      text: `${WORDS[state]}: ${job.rows} rows of zone ${zone} as ${FORMATS[format].title}.`,
      data: { format, fromMs, toMs, rows: job.rows, state, ...(why === null ? {} : { why }) },
    })
  }
}

const CANCELLED = new Error('the export was cancelled')
const LEFT = new Error('the reader went away')

/** The bytes; tells how it ended: null for whole. */
async function* sent(
  first: IteratorResult<ExportedChunk>,
  pieces: AsyncGenerator<ExportedChunk>,
  job: ExportJob,
  ended: (error: unknown) => void,
): AsyncGenerator<Uint8Array> {
  const { signal } = job.cancelling
  let error: unknown = LEFT
  try {
    for (let next = first; next.done !== true; next = await asked()) {
      signal.throwIfAborted()
      // What is thrown in here comes from whoever reads: it went away.
      yield next.value.bytes
      job.advance(next.value)
    }
    signal.throwIfAborted()
    error = null
  } finally {
    ended(error === LEFT && signal.aborted ? CANCELLED : error)
    await pieces.return(undefined)
  }

  function asked(): Promise<IteratorResult<ExportedChunk>> {
    return pieces.next().catch((thrown: unknown) => {
      error = thrown
      throw thrown
    })
  }
}
