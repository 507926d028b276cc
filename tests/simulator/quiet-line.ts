import type { MachineParameters } from '../../simulator/physics/machine.ts'
import { demo } from '../../simulator/scenarios/demo.ts'

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
