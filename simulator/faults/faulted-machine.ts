import { Machine, type MachineParameters } from '../physics/machine.ts'
import type { Scenario } from '../scenarios/scenario.ts'
import type { ActiveFault } from './active.ts'
import { Faults } from './faults.ts'

/** A scenario's machine with faults in it, and the line as drawn and sound, which repairs bring back. */
export interface FaultedMachine {
  readonly machine: Machine
  readonly faults: Faults
  readonly sound: MachineParameters
}

/** Pure: no wire, no clock; the same scenario, faults and seed give the same machine. Throws RangeError as `Faults.add` does. */
export function faultedMachine(
  scenario: Pick<Scenario, 'parameters' | 'programme'>,
  active: readonly ActiveFault[],
  seed: number,
): FaultedMachine {
  const machine = new Machine(scenario.parameters(), scenario.programme, seed)
  const faults = new Faults(machine, scenario.programme, seed)
  for (const one of active) faults.add(one)
  return { machine, faults, sound: scenario.parameters() }
}
