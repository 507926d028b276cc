import type { ActiveFault } from '../faults/active.ts'
import { type FaultedMachine, faultedMachine } from '../faults/faulted-machine.ts'
import { workingPoint } from '../faults/working-point.ts'
import type { Scenario } from '../scenarios/scenario.ts'
import type { Side } from '../technician/bench.ts'
import { Technician } from '../technician/technician.ts'

export const SIDES: readonly Side[] = ['drive_side', 'operator_side']

/** The line an exercise is about. */
export type Line = Pick<Scenario, 'id' | 'parameters' | 'programme'>

/** What a test has to know of the zone it is made at. */
export interface TestPlace {
  readonly zone: string
  /** Highest speed, m/min, and tension, N, of the line's programme. */
  readonly speed: number
  readonly tension: number
  /** Distance of the two cells, mm. */
  readonly span: number
  /** A weight that loads the cells like the working web does, kg. */
  readonly weight: number
}

const GRAVITY = 9.80665

export function placeOf(line: Line, zone: string): TestPlace {
  const { speed, tension } = workingPoint(line.programme, zone)
  const cellDistance = line.parameters().zones[zone]?.cellDistance ?? 1
  return {
    zone,
    speed: Math.round(speed * 60),
    tension,
    span: Math.round(cellDistance * 1000),
    weight: Math.max(1, Math.round((0.8 * tension) / GRAVITY)),
  }
}

/** A machine of its own with somebody at it, to try something at; without wire and clock. */
export interface Trial extends FaultedMachine {
  readonly technician: Technician
}

/** The same line, faults and seed give the same trial. Throws RangeError for a fault that cannot be there. */
export function trialOf(line: Line, faults: readonly ActiveFault[], seed: number): Trial {
  const made = faultedMachine(line, faults, seed)
  return { ...made, technician: new Technician(made.machine, seed, { sound: made.sound }) }
}
