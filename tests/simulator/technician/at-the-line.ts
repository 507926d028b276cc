import { Machine } from '../../../simulator/physics/machine.ts'
import type { Programme } from '../../../simulator/physics/programme.ts'
import type { ZoneParameters, ZoneState } from '../../../simulator/physics/zone.ts'
import { Technician } from '../../../simulator/technician/technician.ts'
import { quietLine } from '../quiet-line.ts'

export const ZONE = 'coater-outfeed'

export const RUNNING: Programme = {
  startSpeed: 4,
  setTension: { [ZONE]: 250, 'edge-strip': 60 },
  stages: [],
  repeat: false,
}

/** A technician at the running quiet line, and what the cells of its first zone feel. */
export function atTheLine(line = quietLine(), seed = 1) {
  const machine = new Machine(line, RUNNING, seed)
  const technician = new Technician(machine, seed)
  const zone = () => machine.parameters.zones[ZONE] as ZoneParameters
  const state = () => machine.state.zones[ZONE] as ZoneState
  const forces = () => ({ ds: state().cells.drive_side.force, os: state().cells.operator_side.force })
  const all = (...acts: (string | [string, Record<string, unknown>])[]) => {
    for (const step of acts) {
      const [id, args] = typeof step === 'string' ? [step, {}] : step
      const { refused } = technician.do(id, args)
      if (refused !== undefined) throw new Error(`${id}: ${refused.reason}`)
    }
  }
  return { machine, technician, zone, state, forces, all }
}
