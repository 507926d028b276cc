import { applyEvent } from './apply-event.ts'
import type { Condition } from './condition.ts'
import type { AlarmEvent } from './event.ts'
import type { AlarmRule } from './rule.ts'
import type { AlarmState } from './state.ts'

/** What an alarm is told: what was seen, what a person did, or only that time goes on. */
export type AlarmInput =
  | { readonly kind: 'seen'; readonly condition: Condition }
  | { readonly kind: 'time' }
  | { readonly kind: 'acknowledge'; readonly who: string }
  | { readonly kind: 'shelve'; readonly who: string; readonly reason: string; readonly forMs: number }
  | { readonly kind: 'unshelve'; readonly who: string }
  | { readonly kind: 'take-out'; readonly who: string; readonly reason: string }
  | { readonly kind: 'put-back'; readonly who: string }

export interface Stepped {
  readonly state: AlarmState
  readonly events: readonly AlarmEvent[]
}

/**
 * One step of an alarm: the new state, and every transition on the way as an event. Pure; time is an argument and
 * never goes back (an earlier one counts as the newest seen).
 *
 * - Outside for the on-delay announces; inside for the off-delay ends; `between` ends both waits and changes nothing.
 * - Without a known condition for `unknownAfterMs` the alarm is unknown, whether nothing came or "unknown" did. It
 *   never becomes normal by silence: data must say so. Shorter holes are bridged, but only what was seen acts.
 * - What has ended unacknowledged, and what is latched, stays `returned` until it is acknowledged.
 * - A shelved alarm goes on silently and asks anew if it is active when that ends; one out of service judges nothing.
 * - An input that changes nothing (acknowledging twice) makes no event.
 */
export function step(rule: AlarmRule, state: AlarmState, input: AlarmInput, nowMs: number): Stepped {
  const now = Math.max(nowMs, state.clockMs)
  const course = new Course(rule, { ...state, clockMs: now })
  course.letTimePass(now)
  course.take(input, now)
  return { state: course.state, events: course.events }
}

/** A state on its way through one step. */
class Course {
  readonly events: AlarmEvent[] = []
  readonly #rule: AlarmRule
  state: AlarmState

  constructor(rule: AlarmRule, state: AlarmState) {
    this.#rule = rule
    this.state = state
  }

  /** Time limits that have run out, in their order, each at its own time: how often one looks changes nothing. */
  letTimePass(now: number): void {
    const { shelved } = this.state
    const lostMs = this.#lostMs()
    const endMs = shelved === null ? Number.POSITIVE_INFINITY : shelved.untilMs
    const due = [
      { atMs: endMs, act: () => this.#unshelve(null, endMs) },
      { atMs: lostMs, act: () => this.#lose(lostMs) },
    ]
    for (const { atMs, act } of due.toSorted((a, b) => a.atMs - b.atMs)) if (atMs <= now) act()
  }

  take(input: AlarmInput, now: number): void {
    switch (input.kind) {
      case 'time':
        break
      case 'seen':
        if (this.state.outOfService === null && input.condition !== 'unknown') this.#see(input.condition, now)
        break
      case 'acknowledge':
        if (!this.state.acknowledged || this.state.known === 'returned')
          this.#happen({ kind: 'acknowledged', atMs: now, who: input.who })
        break
      case 'shelve':
        if (this.state.outOfService === null && input.forMs > 0) this.#shelve(input, now)
        break
      case 'unshelve':
        if (this.state.shelved !== null) this.#unshelve(input.who, now)
        break
      case 'take-out':
        if (this.state.outOfService === null)
          this.#happen({ kind: 'taken-out', atMs: now, who: input.who, reason: input.reason })
        break
      case 'put-back':
        if (this.state.outOfService !== null) this.#happen({ kind: 'put-back', atMs: now, who: input.who })
        break
    }
  }

  #see(condition: Exclude<Condition, 'unknown'>, now: number): void {
    this.state = { ...this.state, knownMs: now }
    if (this.state.standing === 'unknown') this.#happen({ kind: 'resumed', atMs: now, to: this.state.known })
    const to = this.#aim(condition)
    if (to === null) this.state = { ...this.state, pendingMs: null }
    else this.#wait(to, now)
  }

  /** Where a condition would lead; null where the alarm stands there already, or where nothing is said. */
  #aim(condition: Exclude<Condition, 'unknown'>): 'active' | 'normal' | null {
    const isActive = this.state.standing === 'active'
    if (condition === 'outside') return isActive ? null : 'active'
    return condition === 'inside' && isActive ? 'normal' : null
  }

  #wait(to: 'active' | 'normal', now: number): void {
    const sinceMs = this.state.pendingMs ?? now
    const delayMs = to === 'active' ? this.#rule.onDelayMs : this.#rule.offDelayMs
    if (now - sinceMs < delayMs) this.state = { ...this.state, pendingMs: sinceMs }
    else if (to === 'active')
      this.#happen({ kind: 'activated', atMs: now, beganMs: sinceMs, announced: this.state.shelved === null })
    else {
      const ends = this.state.acknowledged && !this.#rule.latched
      this.#happen({ kind: 'returned', atMs: now, to: ends ? 'normal' : 'returned' })
    }
  }

  #shelve({ who, reason, forMs }: Extract<AlarmInput, { kind: 'shelve' }>, now: number): void {
    const untilMs = now + Math.min(forMs, this.#rule.longestShelvingMs)
    this.#happen({ kind: 'shelved', atMs: now, who, reason, untilMs })
  }

  #unshelve(who: string | null, atMs: number): void {
    this.#happen({ kind: 'unshelved', atMs, who, announced: this.state.known === 'active' })
  }

  #lose(atMs: number): void {
    this.#happen({ kind: 'lost', atMs })
  }

  /** When silence makes it unknown; never where it is so already, or judges nothing. */
  #lostMs(): number {
    const { standing, outOfService, knownMs } = this.state
    return standing === 'unknown' || outOfService !== null
      ? Number.POSITIVE_INFINITY
      : knownMs + this.#rule.unknownAfterMs
  }

  /** A person's doing leaves a wait as it is; all else ends it. */
  #happen(event: AlarmEvent): void {
    const { pendingMs, knownMs, clockMs } = this.state
    const keeps = KEEPS_WAITING.has(event.kind)
    this.state = { ...applyEvent(this.state, event), pendingMs: keeps ? pendingMs : null, knownMs, clockMs }
    this.events.push(event)
  }
}

const KEEPS_WAITING: ReadonlySet<AlarmEvent['kind']> = new Set(['acknowledged', 'shelved', 'unshelved'])
