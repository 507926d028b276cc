import type { AlarmMemory } from './state.ts'

/** Which alarms of a group came first since it was last all clear; several when nothing tells them apart. */
export interface FirstOut {
  readonly ids: readonly string[]
  readonly beganMs: number
}

/**
 * First-out of a group after its newest events. The mark stays until every alarm of the group is over, also when
 * the first one is over before the others: it is the one to look into. Compared is when each condition began, not
 * when it was announced, because delays differ; equal times share the mark.
 *
 * @returns null when nothing is wrong in the group
 */
export function firstOut(
  before: FirstOut | null,
  group: readonly { readonly id: string; readonly memory: AlarmMemory }[],
): FirstOut | null {
  const began = group.flatMap(({ id, memory }) =>
    memory.occurrence === null ? [] : [{ id, beganMs: memory.occurrence.beganMs }],
  )
  if (began.length === 0) return null
  const all = [...(before?.ids ?? []).map((id) => ({ id, beganMs: before?.beganMs ?? 0 })), ...began]
  const beganMs = Math.min(...all.map((one) => one.beganMs))
  return { beganMs, ids: [...new Set(all.flatMap((one) => (one.beganMs === beganMs ? [one.id] : [])))] }
}
