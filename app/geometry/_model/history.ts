/** What was there before and after the present, for undo and redo. Pure. */
export interface History<T> {
  readonly past: readonly T[]
  readonly present: T
  readonly future: readonly T[]
  /** The gesture under way: changes that carry the same name make one step together. */
  readonly gesture: string | null
}

const MOST_STEPS = 200

export const startHistory = <T>(present: T): History<T> => ({ past: [], present, future: [], gesture: null })

/** A change. Within one gesture (a drag, typing in one field) only the state before it is kept to go back to. */
export function changed<T>(history: History<T>, next: T, gesture: string | null): History<T> {
  if (next === history.present) return history
  if (gesture !== null && gesture === history.gesture) return { ...history, present: next, future: [] }
  return { past: [...history.past, history.present].slice(-MOST_STEPS), present: next, future: [], gesture }
}

/** The gesture has ended: the next change is a step of its own. */
export function settled<T>(history: History<T>): History<T> {
  return history.gesture === null ? history : { ...history, gesture: null }
}

/** One step back; the same history when there is none. */
export function undone<T>({ past, present, future }: History<T>): History<T> {
  const before = past.at(-1)
  if (before === undefined) return { past, present, future, gesture: null }
  return { past: past.slice(0, -1), present: before, future: [present, ...future], gesture: null }
}

/** One step forward again; the same history when there is none. */
export function redone<T>({ past, present, future }: History<T>): History<T> {
  const after = future[0]
  if (after === undefined) return { past, present, future, gesture: null }
  return { past: [...past, present], present: after, future: future.slice(1), gesture: null }
}
