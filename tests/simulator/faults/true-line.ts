import type { ActiveFault } from '../../../simulator/faults/active.ts'
import { faultedMachine } from '../../../simulator/faults/faulted-machine.ts'
import { Machine, type MachineParameters } from '../../../simulator/physics/machine.ts'
import type { ZoneParameters, ZoneState } from '../../../simulator/physics/zone.ts'
import { quietLine } from '../quiet-line.ts'

export const ZONE = 'coater-outfeed'

const running = (tension = 250, speed = 4) => ({
  startSpeed: speed,
  setTension: { [ZONE]: tension, 'edge-strip': 60 },
  stages: [],
  repeat: false,
})

/** The quiet line with arrows on the bisector, equal cells without a zero, centred web, no drag: textbook arithmetic holds. */
export function trueLine(): MachineParameters {
  const line = quietLine()
  const zone = line.zones[ZONE] as ZoneParameters
  Object.assign(zone.web, { offset: 0, pullOffset: 0 })
  Object.assign(zone.roller, { centreOfMass: 0, dragTorque: 0 })
  const pull = new Machine(quietLine(), running(), 1).resultant(ZONE)
  const same = { arrow: Math.atan2(pull.y, pull.x), gain: 1, ratedOutput: 2, zeroBalance: 0, adcStep: 0 }
  for (const cell of Object.values(zone.cells)) {
    Object.assign(cell, { ...same, zeroPerKelvin: 0, spanPerKelvin: 0, rangeLow: -9, rangeHigh: 9 })
  }
  return line
}

export function fault(id: ActiveFault['fault'], severity = 1, more: Partial<ActiveFault> = {}): ActiveFault {
  return { fault: id, zone: ZONE, side: null, severity, onset: { kind: 'constant' }, ...more }
}
export const OS = { side: 'operator_side' } as const

export interface Way {
  readonly line?: MachineParameters
  readonly tension?: number
  readonly speed?: number
}

/** The true line with faults in it. Forces are what the channels say, N. */
export function lineWith(faults: readonly ActiveFault[], { line = trueLine(), tension, speed }: Way = {}) {
  const programme = running(tension, speed)
  const at = faultedMachine({ parameters: () => structuredClone(line), programme }, faults, 1)
  const state = () => at.machine.state.zones[ZONE] as ZoneState
  const said = () => {
    const { drive_side, operator_side } = state().cells
    return { ds: (drive_side.output * 500) / 2, os: (operator_side.output * 500) / 2 }
  }
  const run = (seconds: number, dt = 0.001) => {
    for (let i = 0; i < Math.round(seconds / dt); i++) at.machine.step(dt)
    return said()
  }
  /** Values of something in each of the next steps. */
  const watch = (seconds: number, look: () => number) =>
    Array.from({ length: Math.round(seconds * 1000) }, () => {
      at.machine.step(0.001)
      return look()
    })
  const zone = at.machine.parameters.zones[ZONE] as ZoneParameters
  return { ...at, zone, state, said, run, watch }
}

/** What the channels say at a steady tension, and by how much for each newton of tension. */
export function steady(faults: readonly ActiveFault[], way: Way = {}) {
  const low = lineWith(faults, { ...way, tension: 150 }).run(1)
  const high = lineWith(faults, { ...way, tension: 300 }).run(1)
  return { low, high, slope: { ds: (high.ds - low.ds) / 150, os: (high.os - low.os) / 150 } }
}

export const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
export const deviation = (values: readonly number[]) => Math.sqrt(mean(values.map((v) => (v - mean(values)) ** 2)))
