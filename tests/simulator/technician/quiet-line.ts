import type { MachineParameters } from '../../../simulator/physics/machine.ts'
import { Machine } from '../../../simulator/physics/machine.ts'
import type { Programme } from '../../../simulator/physics/programme.ts'
import type { ZoneParameters, ZoneState } from '../../../simulator/physics/zone.ts'
import { demo } from '../../../simulator/scenarios/demo.ts'
import { Technician } from '../../../simulator/technician/technician.ts'

export const ZONE = 'coater-outfeed'

/** The demo's line without noise, wander, ripple, unbalance, runout or drift: forces are what hand arithmetic says. */
export function quietLine(): MachineParameters {
  const line = demo.parameters()
  line.ambient = { start: 22, rise: 0, riseTime: 1, wander: 0 }
  line.speedWander = 0
  for (const zone of Object.values(line.zones)) {
    zone.web.wander = 0
    zone.upstream.wander = 0
    zone.upstream.ripple = 0
    zone.roller.runout.amplitude = 0
    zone.roller.unbalance.drive_side.massRadius = 0
    zone.roller.unbalance.operator_side.massRadius = 0
    for (const cell of Object.values(zone.cells)) {
      Object.assign(cell, { whiteNoise: 0, flickerNoise: 0, mainsPickup: 0, warmerBy: 0 })
    }
  }
  return line
}

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
