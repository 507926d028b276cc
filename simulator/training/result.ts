import type { TrainingDebrief, TrainingResult } from '../../shared/schemas/training.ts'
import type { ClosedExercise } from './closed-exercise.ts'
import { isFound, mostPoints } from './score.ts'

/** A closed exercise in one line; points and what was found come with the debrief. */
export function resultOf(closed: ClosedExercise, debrief: TrainingDebrief | null): TrainingResult {
  const { id, trainee, kind, lesson, level, line, startedMs, state, tally, hints } = closed.exercise
  const truth = closed.faults.map(({ fault: { fault, zone, side } }) => ({ cause: fault, zone, side }))
  return {
    exercise: id,
    trainee,
    kind,
    lesson,
    level,
    line,
    startedMs,
    endedMs: closed.endedMs,
    ended: state === 'given-up' ? 'given-up' : 'handed-in',
    truth,
    answer: closed.answer?.findings ?? null,
    points: debrief?.score.points ?? null,
    most: mostPoints(truth),
    found: debrief !== null && closed.answer !== null && isFound(debrief.score, truth),
    seconds: tally.seconds,
    shortestSeconds: debrief?.time.shortest ?? null,
    unsafe: tally.unsafe,
    refused: tally.refused,
    hints: hints.given.length,
    changes: closed.changes.length,
  }
}
