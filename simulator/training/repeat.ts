import type { TrainingDeed } from '../../shared/schemas/training.ts'
import type { Machine } from '../physics/machine.ts'
import type { Reading } from '../technician/act.ts'
import { NotPossible } from '../technician/not-possible.ts'
import { passTime } from '../technician/pass-time.ts'
import type { Technician } from '../technician/technician.ts'

/** Lets the machine's time come to `at`, s; nothing where it is past that. */
export function letPassUntil(machine: Machine, at: number): void {
  const ahead = at - machine.state.time
  if (ahead > 0) passTime(machine, ahead)
}

interface At {
  readonly machine: Machine
  readonly technician: Technician
}

/**
 * Does a deed again when it was begun. Refused ones too: the readings of an act depend on how many went before it.
 * null: this machine cannot do it at all.
 */
export function repeatDeed(
  { machine, technician }: At,
  { act, args, zone, atSeconds, seconds }: TrainingDeed,
): { readonly refused: boolean; readonly readings: readonly Reading[] } | null {
  letPassUntil(machine, atSeconds - seconds)
  try {
    const { refused, observation } = technician.do(act, { ...args, zone })
    return { refused: refused !== undefined, readings: observation?.readings ?? [] }
  } catch (error) {
    if (!(error instanceof NotPossible)) throw error
    return null
  }
}
