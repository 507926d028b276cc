import type { PlanTest, VerificationPlan } from '../../shared/schemas/verification/plan.ts'
import { VERIFICATION_STAGES } from '../../shared/schemas/verification/test-ids.ts'
import { degrees } from '../geometry/vector.ts'
import { expectedOrNull, type VerificationContext } from './context.ts'
import { TESTS } from './registry.ts'
import { STAGES } from './stages.ts'
import type { VerificationTest } from './test.ts'

/** The tests that fit a zone: what does not apply is in it, with the reason, so that a record can tell it apart from a test that was left out. */
export function planOf(context: VerificationContext): VerificationPlan {
  const expected = expectedOrNull(context)
  const tests = Object.values(TESTS).map((test) => inPlan(test, context))
  return {
    zone: context.zone.id,
    zoneName: context.zone.name ?? context.zone.id,
    sides: [...context.sides],
    revision: context.revision,
    stages: VERIFICATION_STAGES.map((id) => ({ id, ...STAGES[id], tests: tests.filter(({ stage }) => stage === id) })),
    resultant: expected === null ? null : expected.wrap.bisector,
    arrowTarget:
      expected === null ? null : { deg: degrees(expected.target.angle), words: expected.target.words.sentence },
  }
}

function inPlan(test: VerificationTest, context: VerificationContext): PlanTest {
  const { id, stage, title, proves, effect, caution, steps } = test
  const { fields, captures, limits, notFor } = test.plan(context)
  return {
    id,
    stage,
    title,
    proves,
    effect,
    caution,
    steps,
    fields,
    captures,
    limits,
    applies: notFor === null,
    reason: notFor,
    automatic: test.automatic === true,
    asFoundAsLeft: test.asFoundAsLeft === true,
  }
}
