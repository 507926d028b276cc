import { describe, expect, it } from 'vitest'
import { lineSources } from '../../lib/geometry/frequency.ts'

describe('lines of a spectrum and what could make them', () => {
  const inputs = {
    speed: 5,
    sampleRate: 100,
    rollers: [
      { name: 'measuring', radius: 0.075 },
      { name: 'guide', radius: 0.06 },
    ],
    mains: 50 as const,
    onCells: { stiffness: 2e6, mass: 12 },
  }
  it('offers turns, mains and the roller on its cells where they show', () => {
    const sources = lineSources(inputs)
    const at = (name: string, order: number) => sources.find((s) => s.name === name && s.order === order)
    expect(at('measuring', 1)?.alias).toBeCloseTo(10.61032953945969, 9)
    expect(at('measuring', 2)?.frequency).toBeCloseTo(21.22, 2)
    expect(at('mains', 1)?.alias).toBe(50)
    expect(at('mains', 2)?.alias).toBe(0)
    // √(2e6/12)/2π = 65.0 Hz shows at 35.
    expect(at('roller on its cells', 1)?.alias).toBeCloseTo(35.03, 1)
  })
  it('a standing web turns no roller', () => {
    expect(lineSources({ ...inputs, speed: 0 }).every(({ kind }) => kind !== 'turn')).toBe(true)
  })
})
