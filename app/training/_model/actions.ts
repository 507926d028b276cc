import {
  actOutcome,
  type DoAct,
  type HandIn,
  type StartExercise,
  type TrainingDeed,
  type TrainingExercise,
  trainingExercise,
} from '../../../shared/schemas/training.ts'
import { type Answer, askGateway } from '../../_ui/ask.ts'
import { tellExercise } from '../../_ui/training/exercise-store.ts'

/** What a trainee does; each is told to whoever shows the exercise as soon as it is answered. */

const post = (body: unknown) => ({ method: 'POST', body })

async function exerciseAfter(path: string, body: unknown): Promise<Answer<TrainingExercise>> {
  const answer = await askGateway(path, trainingExercise, post(body))
  if (answer.ok) tellExercise(answer.value)
  return answer
}

export const startExercise = (start: StartExercise) => exerciseAfter('/api/training/exercise', start)
export const handIn = (answer: HandIn) => exerciseAfter('/api/training/exercise/answer', answer)
export const giveUp = (exercise: string) => exerciseAfter('/api/training/exercise/give-up', { exercise })
export const takeHint = (exercise: string) => exerciseAfter('/api/training/exercise/hint', { exercise })

export async function doAct(act: DoAct): Promise<Answer<TrainingDeed>> {
  const answer = await askGateway('/api/training/exercise/acts', actOutcome, post(act))
  if (!answer.ok) return answer
  tellExercise(answer.value.exercise)
  return { ok: true, value: answer.value.deed }
}
