import type { ToldTest, TrainingDeed } from '../../shared/schemas/training.ts'
import type { ActiveFault } from '../faults/active.ts'
import type { Reading } from '../technician/act.ts'
import { NotPossible } from '../technician/not-possible.ts'
import type { ClosedExercise, MadeChange } from './closed-exercise.ts'
import { makeChange } from './instructor-change.ts'
import { look, readingsOf } from './look.ts'
import { type Line, type Trial, trialOf } from './place.ts'
import { letPassUntil, repeatDeed } from './repeat.ts'
import { compared } from './twins.ts'

/** Acts that tell by what they read, and change nothing that the channels show. */
const TELLS_BY_ITSELF = /^(measure|look|check|read)-|^spin-down$/

/** How long both channels are looked at after each deed, s. */
const LOOK_S = 2

type Happened = { readonly deed: TrainingDeed } | { readonly change: MadeChange }

/** Every deed done again on the faulted machine and on its sound twin, with a look at both channels after it. */
export function toldDeeds(closed: ClosedExercise, line: Line): ToldTest[] {
  const drawn = closed.drawn as readonly ActiveFault[]
  const found = replayed(closed, trialOf(line, drawn, closed.seed), true)
  const sound = replayed(closed, trialOf(line, [], closed.seed), false)
  return closed.exercise.deeds.flatMap((deed) => {
    const [here, there] = [found.get(deed.number), sound.get(deed.number)]
    if (here === undefined || there === undefined) return []
    const readings = compared(here, there)
    return [
      {
        id: deed.act,
        title: deed.title,
        zone: deed.zone,
        deeds: [deed.number],
        verdict: readings.some(({ differs }) => differs) ? ('told' as const) : ('could not tell' as const),
        reason: null,
        seconds: deed.seconds,
        readings,
      },
    ]
  })
}

function replayed(closed: ClosedExercise, trial: Trial, withFaults: boolean): Map<number, readonly Reading[]> {
  const seen = new Map<number, readonly Reading[]>()
  for (const happened of inOrder(closed)) {
    if ('change' in happened) repeatChange(trial, happened.change, withFaults)
    else lookAfter(trial, happened.deed, seen)
  }
  return seen
}

function inOrder({ exercise, changes }: ClosedExercise): Happened[] {
  const all: { at: number; happened: Happened }[] = [
    ...exercise.deeds.map((deed) => ({ at: deed.atSeconds - deed.seconds, happened: { deed } })),
    ...changes.map((change) => ({ at: change.atSeconds, happened: { change } })),
  ]
  return all.sort((a, b) => a.at - b.at).map(({ happened }) => happened)
}

function repeatChange(trial: Trial, { change, atSeconds }: MadeChange, withFaults: boolean): void {
  letPassUntil(trial.machine, atSeconds)
  if (!withFaults && (change.do === 'put-in' || change.do === 'clear-faults')) return
  try {
    makeChange(trial, change)
  } catch (error) {
    if (!(error instanceof NotPossible || error instanceof RangeError)) throw error
  }
}

function lookAfter(trial: Trial, deed: TrainingDeed, seen: Map<number, readonly Reading[]>): void {
  const repeated = repeatDeed(trial, deed)
  // What cannot be done on the twin tells nothing about the machine.
  if (repeated === null || repeated.refused || deed.refused !== null) return
  const after = TELLS_BY_ITSELF.test(deed.act) ? [] : readingsOf(look(trial, deed.zone, LOOK_S), 'after it', false)
  seen.set(deed.number, [...repeated.readings, ...after])
}
