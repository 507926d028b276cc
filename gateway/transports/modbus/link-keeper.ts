import { EvenpullError } from '../../../shared/errors.ts'
import type { OpenLink } from './byte-link.ts'
import { Connection, type LineState } from './connection.ts'

const FIRST_WAIT_MS = 25
const LONGEST_WAIT_MS = 500

/** Wait before attempt number `failures` (0: at once): doubling, quick at first, never long (common practice, no source). */
export function backoffMs(failures: number): number {
  return failures === 0 ? 0 : Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (failures - 1))
}

interface Waiter {
  readonly resolve: (connection: Connection) => void
  readonly reject: (error: EvenpullError) => void
  readonly timer: NodeJS.Timeout
}

/** Keeps one link open: from the first use until `stop` it reconnects by itself. */
export class LinkKeeper {
  readonly #line: LineState
  readonly #open: OpenLink
  readonly #stop = new AbortController()
  readonly #waiters = new Set<Waiter>()
  #connection: Connection | null = null
  #started = false
  #opened = 0
  #failures = 0
  #lastError: EvenpullError | null = null
  #retry: NodeJS.Timeout | undefined

  constructor(line: LineState, open: OpenLink) {
    this.#line = line
    this.#open = open
  }

  /** The open connection, or null; the first call starts the first attempt. */
  get connection(): Connection | null {
    if (!this.#started) {
      this.#started = true
      void this.#connect()
    }
    return this.#connection
  }

  /** The next connection; rejects with the reason when the attempt fails or `untilMs` (monotonic) has passed. */
  next(untilMs: number): Promise<Connection> {
    return new Promise((resolve, reject) => {
      const timer = setTimeout(
        () => {
          this.#waiters.delete(waiter)
          reject(this.#reason())
        },
        Math.max(0, untilMs - this.#line.now()),
      )
      const waiter: Waiter = { resolve, reject, timer }
      this.#waiters.add(waiter)
    })
  }

  async stop(): Promise<void> {
    this.#stop.abort()
    clearTimeout(this.#retry)
    this.#lastError = new EvenpullError('EVP_DEVICE_CLOSED', `${this.#line.where}: the gateway stopped reading it`)
    this.#refuseWaiters(this.#lastError)
    const connection = this.#connection
    connection?.end('the gateway stopped reading it')
    await connection?.closing
  }

  async #connect(): Promise<void> {
    const connection = new Connection(this.#line, (ended) => this.#lost(ended))
    try {
      connection.use(await this.#open(connection.events, this.#stop.signal))
    } catch (error) {
      this.#attemptFailed(error instanceof EvenpullError ? error : this.#internal(error))
      return
    }
    if (this.#stop.signal.aborted) {
      connection.end('the gateway stopped reading it')
      return
    }
    if (connection.endReason !== null) return
    if (this.#opened++ > 0) this.#line.counters.reconnects++
    this.#connection = connection
    for (const { timer, resolve } of this.#waiters) {
      clearTimeout(timer)
      resolve(connection)
    }
    this.#waiters.clear()
  }

  #attemptFailed(error: EvenpullError): void {
    this.#lastError = error
    this.#refuseWaiters(error)
    this.#retryLater()
  }

  /** A link that never brought a right answer counts as a failed attempt, or a device that accepts and hangs up would be hammered. */
  #lost(connection: Connection): void {
    this.#connection = null
    if (this.#stop.signal.aborted) return
    this.#lastError = new EvenpullError('EVP_DEVICE_CLOSED', `${this.#line.where}: ${connection.endReason}`)
    if (connection.answered) this.#failures = 0
    void connection.closing.then(() => this.#retryLater())
  }

  #retryLater(): void {
    if (this.#stop.signal.aborted) return
    this.#retry = setTimeout(() => void this.#connect(), backoffMs(this.#failures++))
  }

  #refuseWaiters(error: EvenpullError): void {
    for (const { timer, reject } of this.#waiters) {
      clearTimeout(timer)
      reject(error)
    }
    this.#waiters.clear()
  }

  #reason(): EvenpullError {
    const code = this.#lastError?.code ?? 'EVP_DEVICE_UNREACHABLE'
    return new EvenpullError(code, this.#lastError?.message ?? `${this.#line.where}: not connected yet`)
  }

  #internal(error: unknown): EvenpullError {
    return new EvenpullError('EVP_INTERNAL', `${this.#line.where}: ${String(error)}`, { cause: error })
  }
}
