import type { Reading } from '../technician/act.ts'
import type { Side } from '../technician/bench.ts'
import { NotPossible } from '../technician/not-possible.ts'
import { passTime } from '../technician/pass-time.ts'
import { ACTS } from '../technician/registry.ts'
import { look, readingsOf } from './look.ts'
import type { TestPlace, Trial } from './place.ts'
import { isLook, type LookStep, type Seen, type TrainingTest } from './training-test.ts'
import { type SaidAct, wayTo } from './way.ts'

/** A step as it was made, with what it cost, s. */
export interface MadeStep extends SaidAct {
  readonly seconds: number
  readonly purpose: 'way' | 'test'
}

/** A test as it went. `reason`: why it could not be made; its readings are then none. */
export interface TestRun {
  readonly test: string
  readonly readings: readonly Reading[]
  readonly steps: readonly MadeStep[]
  readonly reason: string | null
}

/** So long the machine has run before anybody comes, s. */
const RIPENS_S = 2

/** Makes a test at a trial, from the state it is in, with every act that this takes. */
export function runTest(trial: Trial, test: TrainingTest, place: TestPlace): TestRun {
  const run = new Running(trial, place)
  // What was put in has reached every state that an act looks at.
  passTime(trial.machine, RIPENS_S)
  try {
    for (const step of test.steps(place)) {
      if (isLook(step)) run.look(step)
      else run.act(step, 'test')
    }
  } catch (error) {
    if (!(error instanceof NotPossible)) throw error
    return { test: test.id, readings: [], steps: run.steps, reason: error.message }
  }
  const readings = [...run.readings, ...(test.derived?.(run.seen) ?? [])]
  return { test: test.id, readings, steps: run.steps, reason: null }
}

class Running {
  readonly steps: MadeStep[] = []
  readonly readings: Reading[] = []
  readonly #trial: Trial
  readonly #place: TestPlace
  readonly #signals = new Map<string, Reading>()

  constructor(trial: Trial, place: TestPlace) {
    this.#trial = trial
    this.#place = place
  }

  get seen(): Seen {
    const of = (name: string, side: Side) => this.#signals.get(`${name}/${side}`)
    return {
      signal: (name, side) => (of(name, side)?.value as number | undefined) ?? null,
      u: (name, side) => of(name, side)?.u ?? 0,
    }
  }

  act(said: SaidAct, purpose: MadeStep['purpose']): void {
    if (purpose === 'test') this.#prepare(ACTS[said.act].needs)
    const { refused, observation, seconds } = this.#trial.technician.do(said.act, {
      ...said.args,
      zone: this.#place.zone,
    })
    if (refused !== undefined) throw new NotPossible(`${ACTS[said.act].title}: ${refused.reason}`)
    this.steps.push({ ...said, seconds, purpose })
    if (purpose === 'test') this.readings.push(...(observation?.readings ?? []))
  }

  look({ look: words, needs, settle, seconds, withLines, side }: LookStep): void {
    this.#prepare(needs)
    if (settle > 0) passTime(this.#trial.machine, settle)
    const found = readingsOf(look(this.#trial, this.#place.zone, seconds), words, withLines === true)
    this.readings.push(...found.filter((one) => side === undefined || one.side === side))
    for (const reading of found)
      if (reading.figure === `signal, ${words}`) this.#signals.set(`${words}/${reading.side}`, reading)
    const waited = settle + seconds
    this.steps.push({ act: 'wait', args: { seconds: waited }, seconds: waited, purpose: 'test' })
  }

  #prepare(needs: LookStep['needs']): void {
    const way = wayTo(this.#trial.technician.condition(this.#place.zone), needs, this.#place.speed)
    if (way === null) throw new NotPossible('the machine cannot be brought into the state that this takes')
    for (const step of way.steps) this.act(step, 'way')
  }
}
