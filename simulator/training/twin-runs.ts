import type { ActiveFault } from '../faults/active.ts'
import type { Onset } from '../faults/onset.ts'
import { passTime } from '../technician/pass-time.ts'
import { type Line, placeOf, trialOf } from './place.ts'
import { type Proof, proofsOf } from './proofs.ts'
import { runTest, type TestRun } from './run-test.ts'
import { testOf } from './tests.ts'
import { tells } from './twins.ts'

/** What is hidden in a line. */
export interface Case {
  readonly line: Line
  readonly faults: readonly ActiveFault[]
  readonly seed: number
}

/** Longest that a fault is waited for before the tests are made, s. */
const LONGEST_RIPENING_S = 7200

/** When a fault that comes with time is all there, s after it was put in. */
export function ripeAfter(faults: readonly ActiveFault[]): number {
  return Math.min(LONGEST_RIPENING_S, Math.max(0, ...faults.map(({ onset }) => ripe(onset))))
}

function ripe(onset: Onset): number {
  if (onset.kind === 'sudden') return onset.after_s
  return onset.kind === 'growing' ? onset.after_s + onset.over_s : 0
}

/** Runs tests at the machine of a case and at its twins, each from the state the line is found in; each once. */
export class TwinRuns {
  readonly #case: Case
  readonly #runs = new Map<string, TestRun>()

  constructor(hidden: Case) {
    this.#case = hidden
  }

  get ripeAfter(): number {
    return ripeAfter(this.#case.faults)
  }

  /** With everything that is hidden. */
  found(test: string, zone: string): TestRun {
    return this.#run('found', this.#case.faults, test, zone)
  }

  /** With nothing. */
  sound(test: string, zone: string): TestRun {
    return this.#run('sound', [], test, zone)
  }

  /** With this one alone. */
  alone(fault: ActiveFault, test: string): TestRun {
    const which = this.#case.faults.length === 1 ? 'found' : `alone ${this.#case.faults.indexOf(fault)}`
    return this.#run(which, [fault], test, fault.zone)
  }

  tells(test: string, zone: string): boolean {
    return tells(this.found(test, zone), this.sound(test, zone))
  }

  /** Proofs of a fault that hold here, as the tests of each in order: what tells, then what speaks for nothing else. */
  proofs(fault: ActiveFault): readonly (readonly string[])[] {
    return proofsOf(fault.fault, fault.side)
      .filter((proof) => this.#holds(proof, fault))
      .map(({ tells: test, excludes }) => [test, ...excludes])
  }

  /** Some proof of it holds here. */
  canBeFound(fault: ActiveFault): boolean {
    return proofsOf(fault.fault, fault.side).some((proof) => this.#holds(proof, fault))
  }

  /** With all that is hidden and with this fault alone: another fault's reading proves nothing of this one. */
  #holds({ tells: test, excludes }: Proof, fault: ActiveFault): boolean {
    const { zone } = fault
    return (
      this.tells(test, zone) &&
      tells(this.alone(fault, test), this.sound(test, zone)) &&
      excludes.every((other) => !tells(this.alone(fault, other), this.sound(other, zone)))
    )
  }

  #run(which: string, faults: readonly ActiveFault[], test: string, zone: string): TestRun {
    const key = `${which}/${zone}/${test}`
    const known = this.#runs.get(key)
    if (known !== undefined) return known
    const { line, seed } = this.#case
    const trial = trialOf(line, faults, seed)
    if (this.ripeAfter > 0) passTime(trial.machine, this.ripeAfter)
    const run = runTest(trial, testOf(test), placeOf(line, zone))
    this.#runs.set(key, run)
    return run
  }
}
