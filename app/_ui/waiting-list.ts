import type { z } from 'zod'
import { type BrowserKept, browserKept, parsedJson } from './browser-kept.ts'

/** Something written that the gateway does not have yet. */
export interface Waiting {
  /** Why it was not taken, for the reader; null while it was only not reached. */
  readonly refused: string | null
}

/**
 * What was written and the gateway has not said that it is on the disk: it stays in this browser until then, through
 * reloads and lost connections. Oldest first.
 */
export interface WaitingList<W extends Waiting>
  extends Pick<BrowserKept<readonly W[]>, 'get' | 'isStored' | 'subscribe'> {
  /** False where this browser keeps nothing beyond the page. */
  keep(one: W): boolean
  drop(key: string): void
  refuse(key: string, why: string): void
  /** Lets what was refused be sent once more. */
  resend(key: string): void
}

/** @param keyOf by which the gateway knows what is sent twice for the same */
export function waitingList<W extends Waiting>(
  key: string,
  schema: z.ZodType<W>,
  keyOf: (one: W) => string,
): WaitingList<W> {
  const list = browserKept<readonly W[]>({
    key,
    parse: (text) => {
      const kept = parsedJson(text)
      return Array.isArray(kept) ? kept.flatMap((one) => schema.safeParse(one).data ?? []) : []
    },
    join: (theirs, mine) => {
      const known = new Set(theirs.map(keyOf))
      return [...theirs, ...mine.filter((one) => !known.has(keyOf(one)))]
    },
  })
  const mark = (at: string, refused: string | null) =>
    void list.change((before) => before.map((one) => (keyOf(one) === at ? { ...one, refused } : one)))
  return {
    get: list.get,
    isStored: list.isStored,
    subscribe: list.subscribe,
    keep: (one) => list.change((before) => [...before, one]),
    drop: (gone) => void list.change((before) => before.filter((one) => keyOf(one) !== gone)),
    refuse: mark,
    resend: (at) => mark(at, null),
  }
}

/**
 * Sends what waits and was not refused, at once, again after `everyMs`, when something is added and when the network is
 * back; one after another. Returns the end of it.
 */
export function keepSending<W extends Waiting>(
  list: WaitingList<W>,
  everyMs: number,
  send: (one: W) => Promise<unknown>,
): () => void {
  let isSending = false
  const sendAll = async () => {
    if (isSending) return
    isSending = true
    for (const one of list.get()) if (one.refused === null) await send(one)
    isSending = false
  }
  const again = () => void sendAll()
  again()
  const timer = setInterval(again, everyMs)
  const stop = list.subscribe(again)
  addEventListener('online', again)
  return () => {
    clearInterval(timer)
    stop()
    removeEventListener('online', again)
  }
}

/** Whether a refusal says nothing against what was sent and may be otherwise in a moment; else it is for good. */
export const mayPass = (code: string): boolean => PASSING.has(code)

const PASSING: ReadonlySet<string> = new Set([
  'no-gateway',
  'EVP_TOO_MANY',
  'EVP_INTERNAL',
  'EVP_LOGIN_NEEDED',
  'EVP_RECORDER_OFF',
  'EVP_RECORDER_STOPPED',
  'EVP_STORE_LOCKED',
  'EVP_STORE_WRITE',
  'EVP_STORE_FULL',
])
