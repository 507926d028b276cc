import { describe, expect, it } from 'vitest'
import { coreToFull } from '../../lib/geometry/core-to-full.ts'
import { expectedOf } from '../../lib/geometry/expected.ts'
import type { MovingNeighbour } from '../../lib/geometry/neighbour.ts'
import { ofSide } from '../../lib/geometry/sided.ts'
import { radians } from '../../lib/geometry/vector.ts'
import { plainZone, RIGHT_ANGLE, RUNNING } from './plain-zone.ts'

const winding: MovingNeighbour = { kind: 'winding-roll', at: 'after', coreRadius: 0.05, fullRadius: 0.5 }
const winder = {
  ...plainZone({
    ...RIGHT_ANGLE,
    after: { name: 'winding roll', centre: { x: 0.2, y: -1 }, radius: 0.05, turn: -1 },
  }),
  moving: winding,
}
const factorAt = (radius: number): number => {
  const result = expectedOf(winder, { ...RUNNING, neighbour: radius })
  if (!result.possible) throw new Error(result.fault.kind)
  return ofSide(result.expected.sides, 'drive_side').forceFactor
}

describe('a winding roll beside the measuring roller', () => {
  it('wrap, force factor and signal follow its radius', () => {
    // External tangent of circles r apart in radius at distance D: the span turns by asin((R − r)/D).
    const distance = Math.hypot(0.2, 1)
    const leaves = (radius: number) => Math.atan2(-1, 0.2) + Math.asin((radius - 0.05) / distance)
    for (const radius of [0.05, 0.2, 0.5]) {
      const result = expectedOf(winder, { ...RUNNING, neighbour: radius })
      if (!result.possible) throw new Error(result.fault.kind)
      expect(result.expected.wrap.outgoing.angle).toBeCloseTo(leaves(radius), 9)
    }
  })
  it('the spread from core to full roll is (most − least) over their mean, the arrow standing still', () => {
    const told = coreToFull(winder)
    if (told === undefined) throw new Error('it moves')
    const { from, to, least, most, percent } = ofSide(told.spread, 'drive_side')
    expect(from).toBeCloseTo(factorAt(0.05), 12)
    expect(to).toBeCloseTo(factorAt(0.5), 12)
    const scan = Array.from({ length: 2001 }, (_, i) => factorAt(0.05 + (0.45 * i) / 2000))
    expect(least).toBeCloseTo(Math.min(...scan), 6)
    expect(most).toBeCloseTo(Math.max(...scan), 6)
    expect(percent).toBeCloseTo((100 * (most - least)) / ((most + least) / 2), 9)
    expect(percent).toBeGreaterThan(5)
  })
  it('a bisector chosen at a radius is the target at every radius', () => {
    const targets = [0.05, 0.3, 0.5].map((neighbour) => {
      const result = expectedOf(
        { ...winder, target: { kind: 'bisector-at', neighbour: 0.3 } },
        { ...RUNNING, neighbour },
      )
      return result.possible ? result.expected.target.angle : Number.NaN
    })
    expect(targets[0]).toBe(targets[1])
    expect(targets[2]).toBe(targets[1])
  })
  it('a roll that grows into the measuring roller is named', () => {
    expect(expectedOf(winder, { ...RUNNING, neighbour: 1.1 })).toMatchObject({
      possible: false,
      fault: { kind: 'rollers-overlap', to: 'winding roll' },
    })
  })
})

it('a dancer’s roller goes where its arm puts it', () => {
  const dancer: MovingNeighbour = {
    kind: 'dancer-arm',
    at: 'before',
    pivot: { x: -1.4, y: 0 },
    armLength: 0.4,
    lowestAngle: radians(-30),
    highestAngle: radians(30),
  }
  const zone = { ...plainZone(RIGHT_ANGLE), moving: dancer }
  const level = expectedOf(zone, { ...RUNNING, neighbour: 0 })
  const drawn = expectedOf(zone, RUNNING)
  const low = expectedOf(zone, { ...RUNNING, neighbour: radians(-30) })
  if (!low.possible || !level.possible || !drawn.possible) throw new Error('all run')
  expect(level.expected.wrap.angle).toBeCloseTo(drawn.expected.wrap.angle, 12)
  // The web then rises to the roller: it bends more.
  expect(low.expected.wrap.angle).toBeGreaterThan(drawn.expected.wrap.angle)
  expect(low.expected.wrap.incoming.angle).toBeCloseTo(Math.atan2(0.2, 1.4 - 0.4 * Math.cos(radians(30))), 9)
})
it('nothing moves, nothing spreads', () => {
  expect(coreToFull(plainZone(RIGHT_ANGLE))).toBeUndefined()
})
