import { EvenpullError } from '../../shared/errors.ts'
import type { ExportProgress } from '../../shared/schemas/export.ts'
import { notThere } from '../not-there.ts'

/** So many are remembered after they ended, for a page that asks late. */
const REMEMBERED = 64
/** So many run at once: each holds a core for moments. */
export const MOST_AT_ONCE = 4

/** One export on its way. */
export class ExportJob {
  readonly id: string
  readonly cancelling = new AbortController()
  readonly #fromMs: number
  readonly #toMs: number
  state: ExportProgress['state'] = 'running'
  #rows = 0
  #share = 0
  #why: string | null = null

  constructor(id: string, fromMs: number, toMs: number) {
    this.id = id
    this.#fromMs = fromMs
    this.#toMs = toMs
  }

  get rows(): number {
    return this.#rows
  }

  /** So many rows are through, the newest of this time. */
  advance({ rows, newestMs }: { readonly rows: number; readonly newestMs: number | null }): void {
    this.#rows = rows
    if (newestMs === null) return
    const share = (newestMs - this.#fromMs) / (this.#toMs - this.#fromMs)
    this.#share = Math.max(this.#share, Math.min(1, share))
  }

  /** Said once; what comes after the first end changes nothing. */
  end(state: 'whole' | 'cancelled' | 'failed', why: string | null = null): boolean {
    if (this.state !== 'running') return false
    this.state = state
    this.#why = why
    if (state === 'whole') this.#share = 1
    return true
  }

  get progress(): ExportProgress {
    return { job: this.id, state: this.state, rows: this.#rows, share: this.#share, why: this.#why }
  }
}

/** Exports that run, and the last that ended. */
export class ExportJobs {
  readonly #jobs = new Map<string, ExportJob>()

  /** Throws EVP_TOO_MANY, or EVP_REQUEST_INVALID for a name that was used before. */
  begin(id: string, fromMs: number, toMs: number): ExportJob {
    if (this.#jobs.has(id)) throw new EvenpullError('EVP_REQUEST_INVALID', `job: ${id} was used before`)
    const running = [...this.#jobs.values()].filter(({ state }) => state === 'running').length
    if (running >= MOST_AT_ONCE)
      throw new EvenpullError('EVP_TOO_MANY', `${running} exports are running; at most ${MOST_AT_ONCE} at once`)
    const job = new ExportJob(id, fromMs, toMs)
    this.#jobs.set(id, job)
    this.#forget()
    return job
  }

  /** Throws EVP_NOT_FOUND. */
  find(id: string): ExportJob {
    const job = this.#jobs.get(id)
    if (job === undefined) throw notThere('export', id)
    return job
  }

  #forget(): void {
    for (const [id, { state }] of this.#jobs) {
      if (this.#jobs.size <= REMEMBERED) return
      if (state !== 'running') this.#jobs.delete(id)
    }
  }
}
