import { describe, expect, it } from 'vitest'
import type { ActiveFault } from '../../../simulator/faults/active.ts'
import { fault, lineWith, mean, OS, trueLine, ZONE } from './true-line.ts'

const gain = (onset: ActiveFault['onset'], severity = 10) => fault('gain-one-side', severity, { ...OS, onset })
const gainOf = ({ zone }: ReturnType<typeof lineWith>) => zone.cells.operator_side.gain

describe('the onset of a fault', () => {
  it('sudden: nothing before its moment, all of it after', () => {
    const line = lineWith([gain({ kind: 'sudden', after_s: 2 })])
    line.run(1.9)
    expect(gainOf(line)).toBe(1)
    line.run(0.2)
    expect(gainOf(line)).toBeCloseTo(1.1, 12)
  })

  it('growing: half of a zero after half its time', () => {
    const line = lineWith([
      fault('thermal-zero-drift', 2, { ...OS, onset: { kind: 'growing', after_s: 1, over_s: 10 } }),
    ])
    line.run(6)
    expect(line.zone.cells.operator_side.zeroPerKelvin).toBeCloseTo(0.02, 4)
    line.run(20, 0.01)
    expect(line.zone.cells.operator_side.zeroPerKelvin).toBeCloseTo(0.04, 9)
  })

  it('with temperature and with speed: as large as hall and line make it, and gone again', () => {
    const parameters = trueLine()
    parameters.ambient = { start: 22, rise: 10, riseTime: 0.01, wander: 0 }
    const warm = lineWith([gain({ kind: 'with-temperature', from_c: 27, full_c: 37 })], { line: parameters })
    warm.run(1)
    expect(gainOf(warm)).toBeCloseTo(1.1 ** 0.5, 6)
    const fast = lineWith([gain({ kind: 'with-speed', from_m_s: 2, full_m_s: 4 })])
    expect(gainOf(fast)).toBeCloseTo(1.1, 6)
    const setTension = { [ZONE]: 250, 'edge-strip': 60 }
    fast.machine.takeOver({ speed: 0, setTension, slack: false, driveEnabled: true })
    fast.run(20, 0.01)
    expect(gainOf(fast)).toBe(1)
  })

  it('intermittent: there for its share of time, the same for the same seed', () => {
    const watch = () => {
      const line = lineWith([gain({ kind: 'intermittent', on_s: 0.1, off_s: 0.3 })])
      return line.watch(60, () => (gainOf(line) > 1.05 ? 1 : 0))
    }
    const there = watch()
    // 150 turns: a quarter within 0.03 (1 σ).
    expect(mean(there)).toBeGreaterThan(0.13)
    expect(mean(there)).toBeLessThan(0.37)
    expect(watch()).toEqual(there)
  }, 60_000)
})

describe('several faults on one machine', () => {
  it('add up on one parameter, and each goes without the other', () => {
    const growing = gain({ kind: 'growing', after_s: 0, over_s: 1 }, 20)
    const line = lineWith([gain({ kind: 'constant' }), growing, fault('zero-wrong', 4)])
    line.run(2)
    expect(gainOf(line)).toBeCloseTo(1.1 * 1.2, 9)
    expect(line.faults.told().map(({ mended }) => mended)).toEqual([false, false, false])
    line.faults.clear()
    expect(gainOf(line)).toBe(1)
    expect(line.zone.cells.drive_side.knobZero).toBe(0)
  })

  it.each([
    [{ ...OS, severity: 99 }, 'severity'],
    [{ side: null }, 'side'],
    [{ ...OS, zone: 'nowhere' }, 'there is no zone nowhere'],
  ])('one that cannot be is refused with the reason and changes nothing: %j', (wrong, words) => {
    const line = lineWith([])
    const before = JSON.stringify(line.machine.parameters)
    expect(() => line.faults.add(fault('gain-one-side', 5, wrong))).toThrow(words)
    expect(JSON.stringify(line.machine.parameters)).toBe(before)
  })
})
