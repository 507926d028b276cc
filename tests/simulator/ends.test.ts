import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { forcesOnEnds, type LateralForce } from '../../simulator/physics/ends.ts'
import { length, subtract } from '../../simulator/physics/vector.ts'

describe('sharing between the two cells', () => {
  // Simply supported beam, load P at distance a from one support of span L: the far support carries
  // P a/L (any statics text). 200 N at 0.6 m of 1.6 m: 75 N and 125 N.
  it('a single load is shared by its lever arms', () => {
    const ends = forcesOnEnds([{ force: { x: 0, y: -200 }, at: -0.2 }], 1.6)
    expect(ends.operator_side.y).toBeCloseTo(-75, 9)
    expect(ends.drive_side.y).toBeCloseTo(-125, 9)
  })

  it('a load outside the cells lifts the far end', () => {
    const ends = forcesOnEnds([{ force: { x: 0, y: -100 }, at: 1 }], 1.6)
    expect(ends.drive_side.y).toBeGreaterThan(0)
  })

  it('forces and moments balance for any loads', () => {
    const component = fc.double({ min: -1000, max: 1000, noNaN: true })
    const load: fc.Arbitrary<LateralForce> = fc.record({
      force: fc.record({ x: component, y: component }),
      at: fc.double({ min: -1, max: 1, noNaN: true }),
    })
    fc.assert(
      fc.property(fc.array(load, { maxLength: 6 }), fc.double({ min: 0.1, max: 4, noNaN: true }), (loads, distance) => {
        const ends = forcesOnEnds(loads, distance)
        const sum = (pick: (l: LateralForce) => number) => loads.reduce((total, l) => total + pick(l), 0)
        const total = { x: sum((l) => l.force.x), y: sum((l) => l.force.y) }
        const cells = { x: ends.drive_side.x + ends.operator_side.x, y: ends.drive_side.y + ends.operator_side.y }
        expect(length(subtract(cells, total))).toBeLessThan(1e-8)
        const momentOfCells = ((ends.operator_side.y - ends.drive_side.y) * distance) / 2
        expect(Math.abs(momentOfCells - sum((l) => l.force.y * l.at))).toBeLessThan(1e-6)
      }),
    )
  })
})
