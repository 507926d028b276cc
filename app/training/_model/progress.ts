import type { TrainingResult } from '../../../shared/schemas/training.ts'

/** How a trainee stands with a lesson. */
export interface LessonProgress {
  readonly tries: number
  readonly isDone: boolean
  /** Of the tries that found it; null: none did. */
  readonly bestSeconds: number | null
  readonly bestPoints: { readonly points: number; readonly most: number } | null
  /** Unsafe tries in the last one; null: never tried. */
  readonly lastUnsafe: number | null
}

/** Of the results of one trainee, newest first. */
export function lessonProgress(results: readonly TrainingResult[], lesson: string): LessonProgress {
  const tries = results.filter((result) => result.lesson === lesson)
  const found = tries.filter((result) => result.found)
  const scored = tries.flatMap(({ points, most }) => (points === null ? [] : [{ points, most }]))
  const best = scored.reduce<(typeof scored)[number] | null>(
    (most, one) => (most === null || one.points > most.points ? one : most),
    null,
  )
  return {
    tries: tries.length,
    isDone: found.length > 0,
    bestSeconds: found.length === 0 ? null : Math.min(...found.map(({ seconds }) => seconds)),
    bestPoints: best,
    lastUnsafe: tries[0]?.unsafe ?? null,
  }
}

/** The lesson to go on with: the first that is not done; null: all are. */
export function nextLesson<T extends { readonly id: string }>(
  lessons: readonly T[],
  results: readonly TrainingResult[],
): T | null {
  return lessons.find(({ id }) => !lessonProgress(results, id).isDone) ?? null
}

/** Every result has its points: nothing of them will change by itself. */
export const areWorkedOut = ({ results }: { readonly results: readonly TrainingResult[] }): boolean =>
  results.every(({ points }) => points !== null)
