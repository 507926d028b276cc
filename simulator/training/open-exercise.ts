import type {
  InstructorView,
  TakenUp,
  TrainingDeed,
  TrainingExercise,
  TrainingFinding,
  TrainingReading,
} from '../../shared/schemas/training.ts'
import type { ActiveFault } from '../faults/active.ts'
import type { Simulator } from '../simulator.ts'
import type { Reading } from '../technician/act.ts'
import { NotPossible } from '../technician/not-possible.ts'
import { ACTS, isActId } from '../technician/registry.ts'
import { tallyOf } from '../technician/technician.ts'
import type { ClosedExercise, ClosedFault, MadeChange, ReplayedChange } from './closed-exercise.ts'
import { changeWords, makeChange } from './instructor-change.ts'
import type { ExercisePlan, JournalEntry } from './journal-lines.ts'
import { letPassUntil, repeatDeed } from './repeat.ts'
import { truthOf } from './truth.ts'

/** An exercise that runs on a machine: deeds, hints, changes; and what is hidden, which only `closed` and `forInstructor` tell. */
export class OpenExercise {
  readonly plan: ExercisePlan
  readonly #machine: Simulator
  readonly #nowMs: () => number
  readonly #deeds: TrainingDeed[] = []
  readonly #changes: MadeChange[] = []
  readonly #takenUp: TakenUp[] = []
  #hints = 0
  /** In the order of the machine's own list. */
  #hidden: { fault: ActiveFault; by: ClosedFault['by'] }[]

  constructor(plan: ExercisePlan, machine: Simulator, nowMs: () => number) {
    this.plan = plan
    this.#machine = machine
    this.#nowMs = nowMs
    this.#hidden = plan.faults.map((fault) => ({ fault, by: 'exercise' }))
  }

  get deeds(): readonly TrainingDeed[] {
    return this.#deeds
  }

  get changes(): readonly MadeChange[] {
    return this.#changes
  }

  /** As its trainee may see it. */
  told(state: TrainingExercise['state'] = 'open'): TrainingExercise {
    const { id, trainee, kind, lesson, level, line, title, task, startedMs, mostFaults, mayBeNothing, hints } =
      this.plan
    const { technician, machine } = this.#machine
    const zones = Object.keys(machine.parameters.zones)
    return {
      id,
      trainee,
      kind,
      lesson,
      level,
      line,
      title,
      task,
      zones,
      startedMs,
      state,
      mostFaults,
      mayBeNothing,
      hints: { given: hints.slice(0, this.#hints), left: hints.length - this.#hints },
      conditions: Object.fromEntries(
        zones.map((zone) => {
          const condition = technician.condition(zone)
          return [zone, { ...condition, loads: [...condition.loads] }]
        }),
      ),
      machineSeconds: machine.state.time,
      tally: tallyOf(this.#deeds),
      deeds: [...this.#deeds],
      takenUp: [...this.#takenUp],
    }
  }

  /** Does an act. Throws NotPossible for what cannot be done as it was said; what is refused is a deed, and counted. */
  act(id: string, zone: string, args: Readonly<Record<string, unknown>>): TrainingDeed {
    const { engine, technician, machine } = this.#machine
    engine.state()
    const { observation, refused, seconds } = technician.do(id, { ...args, zone })
    const deed: TrainingDeed = {
      number: this.#deeds.length + 1,
      act: id,
      title: isActId(id) ? ACTS[id].title : id,
      zone,
      args: { ...technician.deeds.at(-1)?.args },
      seconds,
      atSeconds: machine.state.time,
      atMs: this.#nowMs(),
      refused: refused ?? null,
      words: observation?.words ?? null,
      readings: (observation?.readings ?? []).map(readingOf),
    }
    this.#deeds.push(deed)
    return deed
  }

  /** The next hint is given; false when there is none left. */
  hint(): boolean {
    if (this.#hints >= this.plan.hints.length) return false
    this.#hints += 1
    return true
  }

  /** Throws NotPossible or RangeError, nothing changed, as `makeChange` does. */
  change(change: ReplayedChange): MadeChange {
    const { engine, machine } = this.#machine
    engine.state()
    const made = { atMs: this.#nowMs(), atSeconds: machine.state.time, words: changeWords(change), change }
    this.#make(made)
    return made
  }

  #make(made: MadeChange): void {
    const { change } = made
    makeChange(this.#machine, change)
    if (change.do === 'put-in') this.#hidden.push({ fault: change.fault as ActiveFault, by: 'instructor' })
    if (change.do === 'clear-faults') this.#hidden = []
    this.#changes.push(made)
  }

  /**
   * Does again what a journal tells, on a machine that has just been made. Deeds stay as their trainee was told them: the
   * noise of the machine is another. False where something came out otherwise (refused or not) than it had.
   */
  repeat(entry: JournalEntry): boolean {
    switch (entry.kind) {
      case 'deed':
        this.#deeds.push(entry.deed)
        return repeatDeed(this.#machine, entry.deed)?.refused === (entry.deed.refused !== null)
      case 'change':
        letPassUntil(this.#machine.machine, entry.change.atSeconds)
        return this.#makeAgain(entry.change)
      case 'hint':
        return this.hint()
      case 'time':
        letPassUntil(this.#machine.machine, entry.atSeconds)
        return true
      case 'taken-up':
        this.#takenUp.push(entry.takenUp)
        return true
    }
  }

  #makeAgain(made: MadeChange): boolean {
    try {
      this.#make(made)
      return true
    } catch (error) {
      if (!(error instanceof NotPossible || error instanceof RangeError)) throw error
      this.#changes.push(made)
      return false
    }
  }

  /** How far the machine's own time, s, has come. */
  get atSeconds(): number {
    return this.#machine.engine.state().time
  }

  /** What is hidden now. */
  get faults(): ClosedFault[] {
    const told = this.#machine.faults.told()
    return this.#hidden.map(({ fault, by }, i) => ({ fault, by, mended: told[i]?.mended === true }))
  }

  /** All of it, once it is over. */
  closed(state: 'handed-in' | 'given-up', answer: ClosedExercise['answer']): ClosedExercise {
    this.#machine.engine.state()
    return {
      exercise: this.told(state),
      seed: this.plan.seed,
      drawn: [...this.plan.faults],
      faults: this.faults,
      answer,
      endedMs: this.#nowMs(),
      changes: [...this.#changes],
    }
  }

  /** For the instructor's eyes. */
  forInstructor(): Omit<InstructorView, 'trainees'> {
    const { engine, machine, faults } = this.#machine
    const { speed, ambient, zones } = engine.state()
    const told = faults.told()
    return {
      exercise: this.told(),
      seed: this.plan.seed,
      faults: this.faults.map((fault, i) => ({ ...truthOf(fault), level: told[i]?.level ?? 0 })),
      machine: {
        speedMMin: speed * 60,
        hallC: ambient,
        byHand: machine.manual !== null,
        zones: Object.fromEntries(
          Object.entries(zones).map(([zone, { setTension, tensionIn }]) => [
            zone,
            { setN: setTension, trueN: tensionIn },
          ]),
        ),
      },
      changes: this.#changes.map(({ atMs, words }) => ({ atMs, words })),
    }
  }
}

function readingOf({ figure, side, value, unit, u }: Reading): TrainingReading {
  return { figure, side: side ?? null, value, unit, u }
}

/** A finding names a zone that the exercise has; else it cannot be scored. */
export function hasZones(exercise: TrainingExercise, findings: readonly TrainingFinding[]): boolean {
  return findings.every(({ zone }) => exercise.zones.includes(zone))
}
