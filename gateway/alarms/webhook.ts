import type { WebhookState } from '../../shared/schemas/alarms.ts'
import type { WebhookConfig } from '../../shared/schemas/config.ts'

/** Waiting messages; the oldest beyond are dropped and counted. */
export const MAX_WAITING = 1000
const FIRST_RETRY_MS = 1000
const LONGEST_RETRY_MS = 60_000
/** Answers that a later attempt may change (RFC 9110: request timeout, too early, too many requests). */
const WORTH_A_RETRY = new Set([408, 425, 429])

export interface WebhookOptions {
  readonly config: WebhookConfig
  readonly log: (line: string) => void
  /** What waited when the process before ended, oldest first. */
  readonly waiting?: readonly string[]
  /** Replaces the waits between attempts in a test. */
  readonly retryMs?: (attempt: number) => number
}

/**
 * Sends messages to one address, in order, one at a time. Never in anybody's way: `send` only queues. What does not
 * arrive is tried again with growing waits until it does; a receiver that refuses a message (4xx) gets the next one.
 * A message may arrive twice (its answer was lost): its `id` tells.
 */
export class Webhook {
  readonly #options: WebhookOptions
  readonly #url: URL
  readonly #waiting: string[] = []
  readonly #end = new AbortController()
  #attempt = 0
  #isSending = false
  #retry: NodeJS.Timeout | null = null
  #delivered = 0
  #dropped = 0
  #lastError: string | null = null

  constructor(options: WebhookOptions) {
    this.#options = options
    this.#url = new URL(options.config.url)
    this.#waiting.push(...(options.waiting ?? []).slice(-MAX_WAITING))
    this.#next()
  }

  get host(): string {
    return this.#url.host
  }

  /** What waits or is under way, oldest first. */
  get waiting(): readonly string[] {
    return [...this.#waiting]
  }

  get state(): WebhookState {
    return {
      host: this.#url.host,
      state: this.#lastError !== null ? 'failing' : this.#isSending ? 'sending' : 'idle',
      delivered: this.#delivered,
      waiting: this.#waiting.length,
      dropped: this.#dropped,
      lastError: this.#lastError,
    }
  }

  send(message: unknown): void {
    this.#waiting.push(JSON.stringify(message))
    if (this.#waiting.length > MAX_WAITING) {
      // The one under way stays in its place, so that it is not taken for the one after it.
      this.#waiting.splice(this.#isSending ? 1 : 0, 1)
      this.#dropped += 1
    }
    this.#next()
  }

  /** Ends what is under way; what waits goes on waiting in `waiting`, and is said in the log. */
  close(): void {
    this.#end.abort()
    if (this.#retry !== null) clearTimeout(this.#retry)
    if (this.#waiting.length > 0) this.#options.log(`webhook: ${this.#waiting.length} messages wait undelivered`)
  }

  #next(): void {
    if (this.#isSending || this.#retry !== null || this.#end.signal.aborted) return
    const [message] = this.#waiting
    if (message === undefined) return
    this.#isSending = true
    void this.#deliver(message).then((outcome) => {
      this.#isSending = false
      if (!this.#end.signal.aborted) this.#settle(outcome)
    })
  }

  #settle(outcome: Outcome): void {
    if (outcome.kind === 'again') {
      this.#fails(outcome.why)
      this.#retry = setTimeout(() => {
        this.#retry = null
        this.#next()
      }, this.#retryMs())
      return
    }
    this.#waiting.shift()
    this.#attempt = 0
    if (outcome.kind === 'arrived') {
      this.#delivered += 1
      if (this.#lastError !== null) this.#options.log(`webhook: ${this.#url.host} takes messages again`)
      this.#lastError = null
    } else {
      this.#dropped += 1
      this.#fails(outcome.why)
    }
    this.#next()
  }

  #fails(why: string): void {
    if (this.#lastError === null) this.#options.log(`webhook: ${this.#url.host}: ${why}`)
    this.#lastError = why
  }

  #retryMs(): number {
    this.#attempt += 1
    return (
      this.#options.retryMs?.(this.#attempt) ?? Math.min(FIRST_RETRY_MS * 2 ** (this.#attempt - 1), LONGEST_RETRY_MS)
    )
  }

  async #deliver(body: string): Promise<Outcome> {
    const timeout = AbortSignal.timeout(this.#options.config.timeout_s * 1000)
    try {
      const response = await fetch(this.#url, {
        method: 'POST',
        body,
        headers: { 'content-type': 'application/json' },
        // A redirect would carry the message where nobody sent it.
        redirect: 'manual',
        signal: AbortSignal.any([timeout, this.#end.signal]),
      })
      await response.body?.cancel()
      const { status } = response
      if (response.ok) return { kind: 'arrived' }
      const why = `answered with HTTP ${status}`
      return status >= 500 || WORTH_A_RETRY.has(status) ? { kind: 'again', why } : { kind: 'refused', why }
    } catch (error) {
      return { kind: 'again', why: timeout.aborted ? 'did not answer in time' : `not reached: ${causeOf(error)}` }
    }
  }
}

type Outcome = { readonly kind: 'arrived' } | { readonly kind: 'again' | 'refused'; readonly why: string }

function causeOf(error: unknown): string {
  const { cause, message } = error as Error & { cause?: NodeJS.ErrnoException }
  return CAUSES[cause?.code ?? ''] ?? cause?.code ?? cause?.message ?? message
}

const CAUSES: Readonly<Record<string, string>> = {
  ECONNREFUSED: 'nothing listens there',
  ECONNRESET: 'the connection was closed',
  UND_ERR_SOCKET: 'the connection was closed',
  ENOTFOUND: 'there is no such host',
  EAI_AGAIN: 'its name cannot be looked up',
}
