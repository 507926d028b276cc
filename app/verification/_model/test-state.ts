import type { VerdictState } from '../../../shared/schemas/now.ts'
import type { PlanTest } from '../../../shared/schemas/verification/plan.ts'
import type { RecordEntry } from '../../../shared/schemas/verification.ts'

export type TestState = VerdictState | 'not-for-this-zone'

/** Everything that was added about a test, oldest first. */
export const entriesOf = (entries: readonly RecordEntry[], test: string): readonly RecordEntry[] =>
  entries.filter((entry) => 'test' in entry && entry.test === test)

/** How a test stands: by its newest result, or why there is none. */
export function stateOf(test: PlanTest, entries: readonly RecordEntry[]): TestState {
  if (!test.applies) return 'not-for-this-zone'
  const newest = entriesOf(entries, test.id).findLast((entry) => entry.kind === 'result' || entry.kind === 'not-done')
  return newest?.kind === 'result' ? newest.result.state : 'not-done'
}

/** Whether anything stands in the record about it, be it why it was not done. */
export const isTouched = (test: PlanTest, entries: readonly RecordEntry[]): boolean =>
  !test.applies || entriesOf(entries, test.id).some(({ kind }) => kind === 'result' || kind === 'not-done')
