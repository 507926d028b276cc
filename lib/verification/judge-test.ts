import type { TestResult } from '../../shared/schemas/verification/result.ts'
import type { TestId } from '../../shared/schemas/verification/test-ids.ts'
import { shortCaptures } from './captured.ts'
import type { VerificationContext } from './context.ts'
import { TESTS } from './registry.ts'
import { notDone } from './result.ts'
import type { Evidence } from './test.ts'

/**
 * The result of a test from its evidence. A test that has nothing to look at in this zone is not done, whatever was
 * typed. A capture that is too short may show what is wrong, but proves nothing right.
 */
export function judgeTest(context: VerificationContext, id: TestId, evidence: Evidence): TestResult {
  const { notFor, captures } = TESTS[id].plan(context)
  if (notFor !== null) return notDone(`it does not apply here: ${notFor}`)
  const result = TESTS[id].judge(context, evidence)
  const short = shortCaptures(captures, evidence)
  return result.state === 'inside' && short !== '' ? notDone(short, result.figures) : result
}

/** The capture whose stretch a test wants analysed as a shift; undefined for most. */
export const shiftCaptureOf = (id: TestId): string | undefined => TESTS[id].shiftOf
