import { describe, expect, it } from 'vitest'
import { lineSources, sourcesAt } from '../../lib/geometry/frequency.ts'
import {
  brakeTension,
  channelTension,
  dancerTension,
  drawTension,
  knownWeight,
  typedTension,
} from '../../lib/geometry/reference.ts'
import { exactly, within } from '../../lib/uncertainty/uncertain.ts'

describe('tension from elsewhere, with its uncertainty', () => {
  it('typed and channel: as they come', () => {
    expect(typedTension(within(200, 4)).tension).toMatchObject({ value: 200, u: expect.closeTo(4, 9) })
    expect(channelTension({ value: 200, u: 1, dof: 9 }).tension.dof).toBeCloseTo(9, 6)
  })
  it('known weight: 20 kg ± 20 g at 9.8100 ± 0.0005 is 196.2 ± 0.196 N', () => {
    const { value, u } = knownWeight(within(20, 0.02), within(9.81, 5e-4)).tension
    expect(value).toBeCloseTo(196.2, 9)
    expect(u).toBeCloseTo(Math.hypot(0.02 * 9.81, 20 * 5e-4), 9)
  })
  it('brake: 30 N·m on 0.3 m is 100 N; the roll’s own inertia counts while the speed changes', () => {
    const steady = {
      brakeTorque: within(29, 0.5),
      frictionTorque: within(1, 0.2),
      inertia: exactly(4),
      angularAcceleration: exactly(0),
      radius: within(0.3, 0.003),
    }
    const { tension } = brakeTension(steady)
    expect(tension.value).toBeCloseTo(100, 9)
    expect(tension.u).toBeCloseTo(Math.hypot(0.5 / 0.3, 0.2 / 0.3, 1), 6)
    expect(brakeTension({ ...steady, angularAcceleration: exactly(1.5) }).tension.value).toBeCloseTo(80, 9)
  })
  it('dancer: (250 − 30)/2 strands is 110 N', () => {
    const { tension } = dancerTension(within(250, 5), within(30, 1), 2)
    expect(tension.value).toBeCloseTo(110, 9)
    expect(tension.u).toBeCloseTo(Math.hypot(5, 1) / 2, 9)
  })
  it('draw: 3200 N stiff, 0.1 % draw over 40 N is 43.157 N, and u of the ratio is multiplied by EA', () => {
    const { tension } = drawTension(exactly(3200), within(1.001, 1e-4), exactly(40))
    expect(tension.value).toBeCloseTo(43.15684315684281, 9)
    expect(tension.u).toBeCloseTo(((3200 - 40) / 1.001 ** 2) * 1e-4, 7)
    // A stiff film: 400 kN and 0.01 % of ratio make ±40 N.
    expect(drawTension(exactly(4e5), within(1.0005, 1e-4), exactly(100)).tension.u).toBeGreaterThan(39)
  })
})

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
    expect(sourcesAt(10.5, 0.5, sources).map(({ name }) => name)).toEqual(['measuring'])
  })
  it('a standing web turns no roller', () => {
    expect(lineSources({ ...inputs, speed: 0 }).every(({ kind }) => kind !== 'turn')).toBe(true)
  })
})
