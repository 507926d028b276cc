import { EvenpullError } from '../../shared/errors.ts'
import type { ForwardStatus } from '../../shared/schemas/forward-status.ts'
import { errorOf } from './broker-errors.ts'
import { type BrokerLink, connectBroker, type Outgoing } from './broker-link.ts'
import { readSecrets } from './secrets.ts'
import type { MqttSettings } from './settings.ts'
import { wait } from './wait.ts'

export interface BrokerConnectionOptions {
  readonly settings: MqttSettings
  /** Epoch ms. */
  readonly nowMs: () => number
  readonly monotonicMs: () => number
  /** From 0 to 1. */
  readonly random: () => number
  /** Last will of a connection that is tried now. */
  readonly will: () => Outgoing
  readonly opened: (link: BrokerLink) => void
  /** The connection, or the attempt to have one, is over; null when it was ended on purpose. */
  readonly lost: (error: EvenpullError) => void
  readonly log: (line: string) => void
}

const FIRST_RETRY_MS = 1000
const LONGEST_RETRY_MS = 30_000
/** A connection that held this long was a good one: the next attempt need not wait long. */
const GOOD_MS = 10_000
const GOODBYE_MS = 2000

/** Has a connection to the broker whenever it lets itself be had; tries again with growing waits. */
export class BrokerConnection {
  readonly #options: BrokerConnectionOptions
  readonly #end = new AbortController()
  readonly #loop: Promise<void>
  #link: BrokerLink | null = null
  #refusal: EvenpullError | null = null
  #state: ForwardStatus['state'] = 'connecting'
  #sinceMs: number
  #lastError: ForwardStatus['lastError'] = null

  constructor(options: BrokerConnectionOptions) {
    this.#options = options
    this.#sinceMs = options.nowMs()
    this.#loop = this.#run()
  }

  get status(): Pick<ForwardStatus, 'state' | 'sinceMs' | 'lastError'> {
    return { state: this.#state, sinceMs: this.#sinceMs, lastError: this.#lastError }
  }

  get isOpen(): boolean {
    return this.#link !== null
  }

  /** The broker does not take what is sent: ends this connection; the next attempt may find it otherwise. */
  refused(error: EvenpullError): void {
    this.#refusal ??= error
    void this.#link?.close()
  }

  /** Ends it for good, with a last message where there is a connection. */
  async close(farewell: () => Outgoing): Promise<void> {
    this.#end.abort()
    const link = this.#link
    if (link !== null) {
      await Promise.race([link.publish(farewell()).catch(() => {}), wait(GOODBYE_MS)])
      await link.close()
    }
    await this.#loop
  }

  async #run(): Promise<void> {
    for (let attempt = 0; !this.#end.signal.aborted; ) {
      const begunMs = this.#options.monotonicMs()
      const error = await this.#connect()
      if (this.#end.signal.aborted) return
      if (error !== null) this.#lost(error)
      attempt = this.#options.monotonicMs() - begunMs > GOOD_MS ? 1 : attempt + 1
      await wait(this.#retryMs(attempt), this.#end.signal)
    }
  }

  /** One connection from its attempt to its end; null when it was ended here. */
  async #connect(): Promise<EvenpullError | null> {
    const { settings, will, log } = this.#options
    try {
      const secrets = await readSecrets(settings)
      if (this.#end.signal.aborted) return null
      return await this.#hold(await connectBroker({ settings, ...secrets, will: will() }))
    } catch (error) {
      if (!(error instanceof EvenpullError)) log(`forward: ${String(error)}`)
      return errorOf(error, settings)
    }
  }

  async #hold(link: BrokerLink): Promise<EvenpullError | null> {
    if (this.#end.signal.aborted) {
      await link.close()
      return null
    }
    this.#link = link
    this.#refusal = null
    this.#become('connected')
    this.#options.opened(link)
    const error = await link.closed
    this.#link = null
    return this.#refusal ?? error
  }

  #lost(error: EvenpullError): void {
    this.#lastError = { ...error.toJSON(), timeMs: this.#options.nowMs() }
    this.#become('waiting')
    this.#options.lost(error)
  }

  #become(state: ForwardStatus['state']): void {
    if (this.#state === state) return
    this.#state = state
    this.#sinceMs = this.#options.nowMs()
  }

  #retryMs(attempt: number): number {
    const base = Math.min(FIRST_RETRY_MS * 2 ** (attempt - 1), LONGEST_RETRY_MS)
    // So that many gateways do not all come back at once.
    return base * (0.5 + this.#options.random() / 2)
  }
}
