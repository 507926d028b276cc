import { diagnosisContextOf } from '../../lib/diagnosis/context.ts'
import { type Ranking, rank } from '../../lib/diagnosis/diagnose.ts'
import { featuresFromLive } from '../../lib/diagnosis/extract/from-live.ts'
import { featuresFromResult } from '../../lib/diagnosis/extract/from-record.ts'
import { moreTestsOf, nextTestsOf } from '../../lib/diagnosis/next-test.ts'
import { judgeTest } from '../../lib/verification/judge-test.ts'
import type { DiagnosisFeature, NextTest } from '../../shared/schemas/diagnosis.ts'
import type { TestId } from '../../shared/schemas/verification/test-ids.ts'
import type { RecordEntry } from '../../shared/schemas/verification.ts'
import { type Brought, BY_HAND } from './by-hand.ts'
import type { SimulatedInstall } from './simulated-install.ts'
import { watchedHours } from './watched-hours.ts'

/** A line that runs, watched from outside: what is known before anybody touches it. */
const PASSIVE: readonly TestId[] = ['running.points', 'running.lines']
/** So many tests are made on asking: a long day's work. */
const MOST_TESTS = 24

export interface Verified {
  readonly passive: Ranking
  /** Once no test was asked for about the likeliest cause alone, and after how many. */
  readonly alone: { readonly ranking: Ranking; readonly tests: number }
  readonly final: Ranking
  /** Tests in the order they were made; those asked for that nobody could make here are left out. */
  readonly made: readonly TestId[]
  readonly features: readonly DiagnosisFeature[]
}

/**
 * Watches an install, for `watchedS` beforehand at its one tension, then makes the tests that the diagnosis asks for until
 * it asks for none: those about the cause first, then those that would show a second one.
 */
export function verify(at: SimulatedInstall, mostTests = MOST_TESTS, watchedS = 0): Verified {
  const context = diagnosisContextOf(at.context)
  const features: DiagnosisFeature[] = []
  const entries: RecordEntry[] = []
  const made: TestId[] = []
  const make = (test: TestId): void => {
    made.push(test)
    const brought = BY_HAND[test]?.(at) ?? { values: {}, captures: [] }
    const evidence = { phase: 'as-found' as const, shift: null, ...brought, earlier: entries }
    const result = judgeTest(at.context, test, evidence)
    const entry = entryOf(test, entries.length + 1, brought, result)
    entries.push(entry)
    features.push(...featuresFromResult(entry, context))
  }
  if (watchedS > 0) {
    const shift = watchedHours(at, watchedS, () => at.options.newtons)
    features.push(...featuresFromLive({ now: null, shift, spectrum: null }, context))
  }
  for (const test of PASSIVE) make(test)
  const passive = rank({ features, context })
  let now = passive
  const isOpen = ({ test }: NextTest): boolean => BY_HAND[test] !== undefined && !made.includes(test)
  let alone: Verified['alone'] | null = null
  for (let i = 0; i < mostTests; i += 1) {
    const { posterior, beside } = now
    const about = nextTestsOf(posterior, Number.POSITIVE_INFINITY).find(isOpen)
    if (about === undefined) alone ??= { ranking: now, tests: made.length }
    const next =
      about ?? (beside === null ? undefined : moreTestsOf(beside, posterior, Number.POSITIVE_INFINITY).find(isOpen))
    if (next === undefined) break
    make(next.test)
    now = rank({ features, context })
  }
  return { passive, alone: alone ?? { ranking: now, tests: made.length }, final: now, made, features }
}

type Result = Extract<RecordEntry, { kind: 'result' }>

function entryOf(test: TestId, seq: number, { values, captures }: Brought, result: Result['result']): Result {
  return {
    kind: 'result',
    key: `00000000-0000-4000-9000-${String(seq).padStart(12, '0')}`,
    who: 'made',
    seq,
    timeMs: 0,
    test,
    phase: 'as-found',
    values,
    captures,
    result,
  } as unknown as Result
}
