import type { FaultId } from '../../../shared/faults.ts'
import type { TrainingCatalogue, TrainingResult, TrainingSide } from '../../../shared/schemas/training.ts'
import { ofSide } from '../../_ui/sides.ts'

/** Titles of what a catalogue names by id; an id that it does not have stays as it is. */
export const causeTitle = ({ causes }: TrainingCatalogue, id: FaultId): string =>
  causes.find((cause) => cause.id === id)?.title ?? id

export const remedyTitle = ({ remedies }: TrainingCatalogue, id: string): string =>
  remedies.find((remedy) => remedy.id === id)?.title ?? id

export const causeOnSide = (catalogue: TrainingCatalogue, cause: FaultId, side: TrainingSide | null): string =>
  causeTitle(catalogue, cause) + ofSide(side)

/** What an exercise was, by the name of its lesson or level. */
export function exerciseTitle({ lessons, levels }: TrainingCatalogue, { lesson, level }: TrainingResult): string {
  if (lesson !== null) return lessons.find(({ id }) => id === lesson)?.title ?? lesson
  if (level !== null) return levels.find(({ id }) => id === level)?.title ?? level
  return 'set by the instructor'
}
