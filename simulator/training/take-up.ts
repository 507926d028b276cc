import type { Simulator } from '../simulator.ts'
import { type JournalEntry, type KeptExercise, lastKnownMs } from './journal-lines.ts'
import { OpenExercise } from './open-exercise.ts'

export interface TakenUpExercise {
  readonly open: OpenExercise
  /** Those that were kept, and that it was taken up. */
  readonly entries: readonly JournalEntry[]
  /** How many came out otherwise than they had. */
  readonly otherwise: number
}

/**
 * An exercise as it was left, on a machine of its line, faults and seed that has just been made: everything is done again,
 * one thing after another, at the machine's own times. Throws what a machine throws that cannot be had like this.
 */
export function takeUp(kept: KeptExercise, machine: Simulator, nowMs: () => number): TakenUpExercise {
  const open = new OpenExercise(kept.plan, machine, nowMs)
  const now: JournalEntry = { kind: 'taken-up', takenUp: { lastMs: lastKnownMs(kept), atMs: nowMs() } }
  const entries = [...kept.entries, now]
  // What is made up for here is not the clock's to make up for as well.
  machine.engine.pause()
  const otherwise = entries.filter((entry) => !open.repeat(entry)).length
  machine.engine.resume()
  return { open, entries, otherwise }
}
