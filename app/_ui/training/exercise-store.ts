import { useSyncExternalStore } from 'react'
import { openExercise, type TrainingExercise } from '../../../shared/schemas/training.ts'
import { keepVerbatim } from '../../_language/current.ts'
import { askGateway, type Failure } from '../ask.ts'

/** What this page knows of the training machine's exercise. */
export interface ExerciseState {
  /** null: none is open. undefined: the gateway has not said yet. */
  readonly exercise: TrainingExercise | null | undefined
  /** Why the newest look brought nothing; the exercise then is that of the look before. */
  readonly failure: Failure | null
  /** Id of the one that was open on this page and is no longer; null: none. */
  readonly closed: string | null
}

const PATH = '/api/training/exercise'
const AGAIN_MS = 1000
const NOT_YET: ExerciseState = { exercise: undefined, failure: null, closed: null }

let state: ExerciseState = NOT_YET
const listeners = new Set<() => void>()
let timer: ReturnType<typeof setTimeout> | null = null
/** Counts what was told otherwise: an answer to a question asked before is older than that. */
let told = 0

function change(next: ExerciseState): void {
  keepVerbatim([next.exercise?.trainee])
  state = next
  for (const listener of listeners) listener()
}

/** The exercise after something that was done in it: newer than any look that is still under way. */
export function tellExercise(exercise: TrainingExercise): void {
  told++
  change(after(state, exercise.state === 'open' ? exercise : null, exercise.id))
}

/** @internal Pure: what is known after the gateway said which exercise is open. */
export function after(
  before: ExerciseState,
  exercise: TrainingExercise | null,
  id: string | null = null,
): ExerciseState {
  const wasOpen = before.exercise?.id ?? id
  const isClosed = wasOpen !== null && wasOpen !== exercise?.id
  return { exercise, failure: null, closed: isClosed ? wasOpen : exercise === null ? before.closed : null }
}

async function look(): Promise<void> {
  const asked = told
  const answer = await askGateway(PATH, openExercise)
  if (asked === told) {
    if (answer.ok) change(after(state, answer.value.exercise))
    else change({ ...state, failure: answer.failure })
  }
  timer = listeners.size > 0 ? setTimeout(() => void look(), AGAIN_MS) : null
}

function subscribe(listener: () => void): () => void {
  listeners.add(listener)
  if (timer === null) timer = setTimeout(() => void look(), 0)
  return () => listeners.delete(listener)
}

/** The exercise of the training machine, asked for once a second while somebody looks. Ask only where there is one. */
export function useExercise(): ExerciseState {
  return useSyncExternalStore(
    subscribe,
    () => state,
    () => NOT_YET,
  )
}
