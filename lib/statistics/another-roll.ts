import type { Sample } from '../../shared/sample.ts'

/** A diameter that differs by this share from one good sample to the next is another roll (common practice, no source). */
const ANOTHER_ROLL = 0.2

/** Whether the roll beside the measuring roller was changed between two samples of its diameter; false without two good ones. */
export function isAnotherRoll(before: Sample | undefined, now: Sample | undefined): boolean {
  if (before?.code !== 'good' || now?.code !== 'good' || before.value === null || now.value === null) return false
  return Math.abs(now.value - before.value) > ANOTHER_ROLL * Math.max(Math.abs(before.value), Math.abs(now.value))
}
