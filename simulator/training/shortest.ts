import type { ShortestPath } from '../../shared/schemas/training.ts'
import type { ActiveFault } from '../faults/active.ts'
import { passTime } from '../technician/pass-time.ts'
import { ACTS } from '../technician/registry.ts'
import { placeOf, trialOf } from './place.ts'
import { type MadeStep, runTest } from './run-test.ts'
import { testOf } from './tests.ts'
import type { Case, TwinRuns } from './twin-runs.ts'

/**
 * The cheapest sequence of acts that tells this fault from what looks like it: every proof that holds on the twins, its
 * tests made one after another in every order of first and rest, each from the state the one before has left, by the
 * cheapest way. Null where no proof holds.
 */
export function shortestFor(hidden: Case, runs: TwinRuns, fault: ActiveFault): ShortestPath | null {
  const orders = runs.proofs(fault).flatMap((tests) => [tests, [...tests].reverse()])
  const paths = orders.flatMap((tests) => {
    const steps = walk(hidden, runs.ripeAfter, fault.zone, tests)
    return steps === null ? [] : [pathOf(fault, tests, steps)]
  })
  return paths.reduce<ShortestPath | null>(
    (best, one) => (best === null || one.seconds < best.seconds ? one : best),
    null,
  )
}

function pathOf(
  { fault, side, zone }: ActiveFault,
  tests: readonly string[],
  steps: readonly MadeStep[],
): ShortestPath {
  return {
    cause: fault,
    side,
    test: tests.map((test) => testOf(test).title).join('; '),
    steps: steps.map(({ act, args, seconds, purpose }) => ({
      act,
      title: ACTS[act].title,
      zone,
      args: { ...args },
      seconds,
      purpose,
    })),
    seconds: steps.reduce((sum, { seconds }) => sum + seconds, 0),
  }
}

/** Made on a machine with the faults in: what cannot be done there is no path. */
function walk(hidden: Case, ripeAfter: number, zone: string, tests: readonly string[]): MadeStep[] | null {
  const trial = trialOf(hidden.line, hidden.faults, hidden.seed)
  const steps: MadeStep[] = []
  if (ripeAfter > 0) {
    passTime(trial.machine, ripeAfter)
    steps.push({ act: 'wait', args: { seconds: ripeAfter }, seconds: ripeAfter, purpose: 'way' })
  }
  for (const test of tests) {
    const run = runTest(trial, testOf(test), placeOf(hidden.line, zone))
    if (run.reason !== null) return null
    steps.push(...run.steps)
  }
  return steps
}
