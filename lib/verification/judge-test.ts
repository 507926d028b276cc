import type { TestId, TestResult } from '../../shared/schemas/verification.ts'
import type { VerificationContext } from './context.ts'
import { TESTS } from './registry.ts'
import { notDone } from './result.ts'
import type { Evidence } from './test.ts'

/** The result of a test from its evidence. A test that has nothing to look at in this zone is not done, whatever was typed. */
export function judgeTest(context: VerificationContext, id: TestId, evidence: Evidence): TestResult {
  const { notFor } = TESTS[id].plan(context)
  return notFor === null ? TESTS[id].judge(context, evidence) : notDone(`it does not apply here: ${notFor}`)
}

/** The capture whose stretch a test wants analysed as a shift; undefined for most. */
export const shiftCaptureOf = (id: TestId): string | undefined => TESTS[id].shiftOf
