import type { ShiftAnalysis } from '../../shared/schemas/shift.ts'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import type { PlanTest } from '../../shared/schemas/verification/plan.ts'
import type { TestResult } from '../../shared/schemas/verification/result.ts'
import type { TestId } from '../../shared/schemas/verification/test-ids.ts'
import type { RecordEntry, TestPhase, TestValues } from '../../shared/schemas/verification.ts'
import type { VerificationContext } from './context.ts'

/** What a test is judged by. */
export interface Evidence {
  readonly phase: TestPhase
  readonly values: TestValues
  readonly captures: readonly Capture[]
  /** Entries of the record so far, oldest first. */
  readonly earlier: readonly RecordEntry[]
  /** What moved over the stretch of the first capture that asks for it; null where nothing tells it. */
  readonly shift: ShiftAnalysis | null
}

/** What a plan says of a test beside what belongs to its kind. */
type TestPlan = Pick<PlanTest, 'fields' | 'captures' | 'limits'> & {
  /** Why this zone has nothing to test here; null where it has. */
  readonly notFor: string | null
}

/** One test of a verification: what it asks for, and how it is judged. */
export interface VerificationTest
  extends Pick<PlanTest, 'stage' | 'title' | 'proves' | 'effect' | 'caution' | 'steps'> {
  readonly id: TestId
  /** Nothing to type or to capture. */
  readonly automatic?: true
  readonly asFoundAsLeft?: true
  /** Wants `Evidence.shift`: the capture of this id is analysed as a shift. */
  readonly shiftOf?: string
  plan(context: VerificationContext): TestPlan
  judge(context: VerificationContext, evidence: Evidence): TestResult
}
