import type { MachineParameters } from '../physics/machine.ts'
import type { ZoneParameters } from '../physics/zone.ts'

/** An ordinary hall around these zones: European mains, warming by 5 K over the shift, a steady drive. */
export function inTheHall(zones: Record<string, ZoneParameters>): MachineParameters {
  return {
    mainsHz: 49.98,
    ambient: { start: 21.5, rise: 5, riseTime: 7200, wander: 0.15 },
    speedWander: 2e-4,
    speedWanderTime: 0.4,
    zones,
  }
}
