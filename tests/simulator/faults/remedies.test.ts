import { describe, expect, it } from 'vitest'
import { FAULT_IDS } from '../../../shared/faults.ts'
import { FAULTS } from '../../../simulator/faults/registry.ts'
import type { ActId } from '../../../simulator/technician/registry.ts'
import { Technician } from '../../../simulator/technician/technician.ts'
import { fault, lineWith, OS, trueLine, ZONE } from './true-line.ts'

type Step = readonly [ActId, Record<string, unknown>]
type Way = ReturnType<typeof lineWith>

/** What one has to say with each remedy so that it brings back what was right. */
function stepsOf(act: ActId, line: Way, severity: number): Step[] {
  const sound = trueLine().zones[ZONE]
  const arrow = ((sound?.cells.operator_side.arrow ?? 0) * 180) / Math.PI
  const each = (args: object): Step[] => ['drive_side', 'operator_side'].map((side) => [act, { side, ...args }])
  const asked: Partial<Record<ActId, Step[]>> = {
    'turn-arrow': each({ to_deg: arrow }),
    'swap-leads': (['drive_side', 'operator_side'] as const)
      .filter((side) => line.zone.cells[side].polarity < 0)
      .map((side) => [act, { side }]),
    'turn-knob': each({ filter_hz: 20, range_mv_v: 9, zero_mv_v: 0, span_factor: 1 }),
    'set-clearance': each({ to_mm: 2 }),
    'move-web-guide': [[act, { towards_operator_mm: -(severity / 100) * 800 }]],
    wait: [1, 2, 3, 4].map(() => [act, { seconds: 3600 }] as const),
    'swap-cables': [[act, {}]],
    'rethread-as-drawn': [[act, {}]],
    'tighten-clamps': [[act, {}]],
    'clean-bearing': [[act, {}]],
    'balance-roller': [[act, {}]],
  }
  return asked[act] ?? each({})
}

/** Locked out, guards open, as each of these acts wants it. */
function atWork(line: Way, act: ActId) {
  // A repair takes hours; what comes after the line has stopped does not matter here.
  const pass = (machine: Way['machine'], seconds: number) => {
    for (let i = 0; i < Math.min(seconds, 30) / 0.05; i++) machine.step(0.05)
  }
  const technician = new Technician(line.machine, 1, { sound: trueLine(), pass })
  const does = (id: ActId, args: object = {}) => {
    const { refused } = technician.do(id, { ...args })
    if (refused !== undefined) throw new Error(`${id}: ${refused.reason}`)
  }
  if (act === 'move-web-guide' || act === 'wait') return does
  for (const id of ['stop', 'lock-out', 'open-guards', 'take-web-off'] as const) does(id)
  return does
}

describe('a repair at the machine', () => {
  const rows = FAULT_IDS.flatMap((id) => FAULTS[id].remedies.map((act) => [id, act] as const)).filter(
    ([id, act]) => act !== 'wait' && !(id === 'both-reversed' && act === 'turn-arrow'),
  )
  it.each(rows)('ends %s by %s, for good', (id, act) => {
    const { sides, severity } = FAULTS[id]
    const size = severity.typical
    const line = lineWith([fault(id, size, sides === 'one' ? OS : {})])
    expect(line.faults.told()[0]?.mended).toBe(false)
    const does = atWork(line, act)
    for (const [step, args] of stepsOf(act, line, size)) does(step, args)
    expect(line.faults.told()[0]?.mended).toBe(true)
    line.run(0.1)
    expect(line.faults.told()[0]?.mended).toBe(true)
  })

  it('ends arrows turned round by turning them, and a warm cell by waiting', () => {
    const line = lineWith([fault('both-reversed', 2)])
    const does = atWork(line, 'turn-arrow')
    for (const [step, args] of stepsOf('turn-arrow', line, 2)) does(step, args)
    expect(line.faults.told()[0]?.mended).toBe(true)
    const warm = lineWith([fault('cell-temperature-gradient', 2, OS)])
    warm.run(3600, 0.2)
    expect(warm.faults.told()[0]?.mended).toBe(true)
  })

  it('ends one that grows, too: it does not come back', () => {
    const onset = { kind: 'growing', after_s: 0, over_s: 100 } as const
    const line = lineWith([fault('thermal-zero-drift', 1, { ...OS, onset })])
    line.run(50, 0.01)
    expect(line.faults.told()[0]).toMatchObject({ mended: false })
    const does = atWork(line, 'replace-cell')
    does('replace-cell', { side: 'operator_side' })
    line.run(60, 0.01)
    expect(line.zone.cells.operator_side.zeroPerKelvin).toBe(0)
    expect(line.faults.told()[0]?.mended).toBe(true)
  })

  it('of the wrong kind ends nothing', () => {
    const line = lineWith([fault('gain-one-side', 10, OS)])
    atWork(line, 'replace-cable')('replace-cable', { side: 'operator_side' })
    expect(line.faults.told()[0]?.mended).toBe(false)
  })
})
