import type { VerdictState } from '../../shared/schemas/now.ts'
import type { PlanTest } from '../../shared/schemas/verification/plan.ts'
import type { RecordEntry } from '../../shared/schemas/verification.ts'

/** How a test stands in a record: by the newest that was said of it. */
export type Standing = VerdictState | 'not-here'

export interface TestStanding {
  readonly test: PlanTest
  readonly state: Standing
  /** The sentence of its result, or why there is none. */
  readonly words: string
  /** A person said it. */
  readonly isTyped: boolean
}

export function standingOf(test: PlanTest, entries: readonly RecordEntry[]): TestStanding {
  const newest = entries.findLast(
    (entry) => (entry.kind === 'result' || entry.kind === 'not-done') && entry.test === test.id,
  )
  if (newest?.kind === 'result')
    return { test, state: newest.result.state, words: newest.result.sentence, isTyped: false }
  if (!test.applies) return { test, state: 'not-here', words: test.reason ?? 'nothing here to test', isTyped: false }
  if (newest?.kind === 'not-done') return { test, state: 'not-done', words: newest.reason, isTyped: true }
  return { test, state: 'not-done', words: 'nothing was kept', isTyped: false }
}
