import { describe, expect, it } from 'vitest'
import { soundFit } from '../../simulator/physics/fit.ts'
import { type GrowthParameters, ShaftGrowth, squeeze } from '../../simulator/physics/growth.ts'

const growth = (change: Partial<GrowthParameters>): GrowthParameters => ({ ...soundFit().growth, ...change })
/** Shaft `kelvin` warmer than its hall at the temperature it was set at, long after it began to turn. */
const grown = (change: Partial<GrowthParameters>, distance: number, kelvin: number) =>
  new ShaftGrowth().step(growth({ ...change, shaftWarmth: kelvin, warmingTime: 1 }), distance, 22, true, 1000)

describe('a shaft that grows', () => {
  // Expansion tables: carbon steel 10.8e-6/K, aluminium 23.1e-6/K (handbook §4.10): 1.5 m, 40 K.
  it.each([
    ['carbon steel', 10.8e-6, 0.65],
    ['aluminium', 23.1e-6, 1.39],
  ])('%s by what the tables say', (_, shaftExpansion, millimetres) => {
    expect(grown({ shaftExpansion }, 1.5, 40) * 1000).toBeCloseTo(millimetres, 2)
  })

  it('not against a frame of the same steel that warms as much', () => {
    expect(new ShaftGrowth().step(growth({}), 1.5, 62, false, 1)).toBeCloseTo(0, 12)
  })

  it('presses nothing while there is a gap, and both cells apart once there is none', () => {
    expect(squeeze(growth({}), 0.0002, 0.0003)).toBeCloseTo(0, 12)
    // 0.1 mm too much on 2 MN/m is 200 N along the shaft; 2 % of it across.
    expect(squeeze(growth({}), 0.0004, 0.0003)).toBeCloseTo(4, 9)
    expect(squeeze(growth({ floating: 'drive_side' }), 0.0004, 0.0003)).toBeCloseTo(-4, 9)
  })
})
