import { z } from 'zod'
import { keyOf, newSessionId } from './secret.ts'

const storedSession = z.object({
  /** SHA-256 of the id in the cookie: whoever reads the file cannot use it. */
  key: z.string().regex(/^[0-9a-f]{64}$/),
  user: z.string(),
  /** Of the user when he logged in. */
  stamp: z.string(),
  createdMs: z.number(),
  usedMs: z.number(),
})
export const storedSessions = z.array(storedSession).max(10_000)
export type Session = z.output<typeof storedSession>

export interface SessionLimits {
  /** Without any request for this long it ends. */
  readonly idleMs: number
  /** It ends after this long in any case. */
  readonly longestMs: number
}

/** Of one user, and of all, at most; the longest unused ones end first. */
const MOST_OF_ONE = 20
const MOST = 2000

/** Who is logged in. Times are epoch ms and handed in: sessions outlive the process. */
export class Sessions {
  readonly #limits: SessionLimits
  readonly #sessions = new Map<string, Session>()

  constructor(limits: SessionLimits, kept: readonly Session[] = []) {
    this.#limits = limits
    for (const session of kept) this.#sessions.set(session.key, { ...session })
  }

  all(): readonly Session[] {
    return [...this.#sessions.values()]
  }

  /** Begins a session and returns the id for the cookie, which is kept nowhere. */
  begin(user: { readonly name: string; readonly stamp: string }, nowMs: number): string {
    const id = newSessionId()
    const key = keyOf(id)
    this.#makeRoom(user.name)
    this.#sessions.set(key, { key, user: user.name, stamp: user.stamp, createdMs: nowMs, usedMs: nowMs })
    return id
  }

  /** The session of an id; null when there is none or it is over. Using it keeps it. */
  use(id: string, nowMs: number): Session | null {
    const session = this.#sessions.get(keyOf(id))
    if (session === undefined || this.#isOver(session, nowMs)) return null
    session.usedMs = nowMs
    return session
  }

  /** The session of a key, without using it. */
  peek(key: string, nowMs: number): Session | null {
    const session = this.#sessions.get(key)
    return session === undefined || this.#isOver(session, nowMs) ? null : session
  }

  /** A session goes on under another stamp of its user. */
  restamp(key: string, stamp: string): void {
    const session = this.#sessions.get(key)
    if (session !== undefined) session.stamp = stamp
  }

  end(key: string): boolean {
    return this.#sessions.delete(key)
  }

  /** Takes away what is over, by time or because `isValid` says so, and returns it. */
  sweep(nowMs: number, isValid: (session: Session) => boolean): { session: Session; byTime: boolean }[] {
    const ended = this.all().flatMap((session) => {
      const byTime = this.#isOver(session, nowMs)
      return byTime || !isValid(session) ? [{ session, byTime }] : []
    })
    for (const { session } of ended) this.#sessions.delete(session.key)
    return ended
  }

  #isOver({ createdMs, usedMs }: Session, nowMs: number): boolean {
    return nowMs - usedMs >= this.#limits.idleMs || nowMs - createdMs >= this.#limits.longestMs
  }

  #makeRoom(user: string): void {
    const oldest = (sessions: readonly Session[]) => sessions.toSorted((a, b) => a.usedMs - b.usedMs)[0]
    const his = this.all().filter((session) => session.user === user)
    const leaving =
      his.length >= MOST_OF_ONE ? oldest(his) : this.#sessions.size >= MOST ? oldest(this.all()) : undefined
    if (leaving !== undefined) this.#sessions.delete(leaving.key)
  }
}
