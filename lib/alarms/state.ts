import type { AlarmStateName, Standing } from '../../shared/alarms.ts'

export type KnownStanding = Exclude<Standing, 'unknown'>

interface Shelved {
  readonly who: string
  readonly reason: string
  readonly atMs: number
  readonly untilMs: number
}

interface OutOfService {
  readonly who: string
  readonly reason: string
  readonly atMs: number
}

/** One occurrence: from the first look that was outside, through its announcement, to its end. */
interface Occurrence {
  readonly beganMs: number
  readonly announcedMs: number
}

/** All that an alarm remembers; events alone give it back (`applyEvent`). Times are epoch ms. */
export interface AlarmMemory {
  readonly standing: Standing
  /** Where it goes on when data come back; the standing itself while that is known. */
  readonly known: KnownStanding
  readonly sinceMs: number
  /** No acknowledgement is waited for. */
  readonly acknowledged: boolean
  /** Who acknowledged the present occurrence. */
  readonly acknowledgedBy: { readonly who: string; readonly atMs: number } | null
  /** null while nothing is, or was, wrong. */
  readonly occurrence: Occurrence | null
  readonly shelved: Shelved | null
  readonly outOfService: OutOfService | null
}

/** The memory and what is needed for its next step. */
export interface AlarmState extends AlarmMemory {
  /** Since when a change waits for its delay: there is but one that the standing allows. */
  readonly pendingMs: number | null
  /** When the condition was last known. */
  readonly knownMs: number
  /** Newest time seen: an alarm's time never goes back. */
  readonly clockMs: number
}

/** An alarm of which nothing is known yet: it is not normal before the first look says so. */
export function firstMemory(nowMs: number): AlarmMemory {
  return {
    standing: 'unknown',
    known: 'normal',
    sinceMs: nowMs,
    acknowledged: true,
    acknowledgedBy: null,
    occurrence: null,
    shelved: null,
    outOfService: null,
  }
}

/**
 * A memory taken up again, at the first start or after a restart: silence counts from now on, and delays begin anew.
 * A shelving from the future (the wall clock was set back meanwhile) keeps its length from now: it always ends.
 */
export function takeUp(memory: AlarmMemory, nowMs: number): AlarmState {
  const { shelved } = memory
  const kept =
    shelved !== null && shelved.atMs > nowMs
      ? { ...shelved, atMs: nowMs, untilMs: nowMs + (shelved.untilMs - shelved.atMs) }
      : shelved
  return { ...memory, shelved: kept, pendingMs: null, knownMs: nowMs, clockMs: nowMs }
}

/** The memory of a state, without what only the next step needs. */
export function memoryOf({ pendingMs: _p, knownMs: _k, clockMs: _c, ...memory }: AlarmState): AlarmMemory {
  return memory
}

/** One word for all of it. */
export function stateName(memory: AlarmMemory): AlarmStateName {
  if (memory.outOfService !== null) return 'out-of-service'
  if (memory.shelved !== null) return 'shelved'
  if (memory.standing === 'active') return memory.acknowledged ? 'acknowledged' : 'unacknowledged'
  return memory.standing
}

/** Somebody has to look: not acknowledged, or returned and latched; and nobody has put it aside. */
export function asksForNotice({ acknowledged, known, shelved, outOfService }: AlarmMemory): boolean {
  return shelved === null && outOfService === null && (!acknowledged || known === 'returned')
}
