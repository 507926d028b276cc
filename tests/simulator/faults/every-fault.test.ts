import { describe, expect, it } from 'vitest'
import { FAULT_IDS } from '../../../shared/faults.ts'
import type { ActiveFault } from '../../../simulator/faults/active.ts'
import { faultedMachine } from '../../../simulator/faults/faulted-machine.ts'
import { FAULTS } from '../../../simulator/faults/registry.ts'
import { SCENARIOS } from '../../../simulator/scenarios/registry.ts'

function faultIn(zone: string, id: (typeof FAULT_IDS)[number], severity: number): ActiveFault {
  const side = FAULTS[id].sides === 'one' ? 'operator_side' : null
  return { fault: id, zone, side, severity, onset: { kind: 'constant' } }
}

describe('every fault of the vocabulary', () => {
  it.each(FAULT_IDS)('%s can be put into every scenario’s line at every size, and taken out without a trace', (id) => {
    for (const scenario of SCENARIOS) {
      const zone = Object.keys(scenario.parameters().zones)[0] as string
      const bare = faultedMachine(scenario, [faultIn(zone, 'arrows-differ', 1)], 1)
      // A winding roll grows by itself meanwhile.
      for (let i = 0; i < 3; i++) bare.machine.step(0.001)
      bare.faults.clear()
      const without = JSON.stringify(bare.machine.parameters)
      const { least, typical, most } = FAULTS[id].severity
      for (const severity of [least, typical, most]) {
        const { machine, faults } = faultedMachine(scenario, [faultIn(zone, id, severity)], 1)
        for (let i = 0; i < 3; i++) machine.step(0.001)
        expect(JSON.stringify(machine.parameters)).not.toBe(without)
        expect(faults.told()[0]?.mended).toBe(false)
        expect(JSON.stringify(machine.state)).not.toContain('null')
        faults.clear()
        expect(JSON.stringify(machine.parameters)).toBe(without)
      }
    }
  })

  it.each(FAULT_IDS)('%s of size 0 changes nothing', (id) => {
    const scenario = SCENARIOS[0] as (typeof SCENARIOS)[number]
    const zone = Object.keys(scenario.parameters().zones)[0] as string
    const { machine, faults } = faultedMachine(scenario, [faultIn(zone, id, 0)], 1)
    expect(machine.parameters).toEqual(scenario.parameters())
    expect(faults.told()).toEqual([])
  })
})
