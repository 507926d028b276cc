import { describe, expect, it } from 'vitest'
import { expectedOf } from '../../lib/geometry/expected.ts'
import { sensitivitiesOf } from '../../lib/geometry/sensitivities.ts'
import { relativeChangePerWrap } from '../../lib/geometry/sensitivity.ts'
import { radians } from '../../lib/geometry/vector.ts'
import { plainZone, RIGHT_ANGLE, RUNNING } from './plain-zone.ts'

const plain = plainZone(RIGHT_ANGLE)
const turned = { ...plain.cells.drive_side, arrow: radians(-128) }
const zone = { ...plain, cells: { drive_side: turned, operator_side: turned } }
const state = { ...RUNNING, speed: 6, lineOfPull: 0.05 }
const rowOf = (name: string, of = zone) => {
  const row = sensitivitiesOf(of, state).find((r) => r.name === name)
  if (row === undefined) throw new Error(name)
  return row
}

describe('what a degree, a millimetre or a per cent does', () => {
  it('per degree of wrap: the formula, with its sign by the span that moves', () => {
    for (const which of ['incoming', 'outgoing'] as const) {
      const formula = relativeChangePerWrap(Math.PI / 2, radians(7), -1, which)
      expect(rowOf(`wrap, by the ${which} span`).total).toBeCloseTo(100 * radians(1) * formula, 8)
    }
  })
  it('per millimetre of every roller: what moving it by a micrometre really does', () => {
    const total = (geometry: typeof zone) => {
      const result = expectedOf(geometry, state)
      return result.possible ? result.expected.webForce : Number.NaN
    }
    const moved = (key: 'before' | 'after', x: number, y: number) => ({
      ...zone,
      path: {
        ...zone.path,
        [key]: zone.path[key].map((r) => ({ ...r, centre: { x: r.centre.x + x, y: r.centre.y + y } })),
      },
    })
    const MICRO = 1e-6
    for (const [key, name] of [
      ['before', 'guide roller'],
      ['after', 'chill roller'],
    ] as const) {
      const up = (1000 * 100 * (total(moved(key, 0, MICRO)) / total(moved(key, 0, -MICRO)) - 1)) / 2
      const down = (1000 * 100 * (total(moved(key, MICRO, 0)) / total(moved(key, -MICRO, 0)) - 1)) / 2
      expect(rowOf(`${name}: centre up`).total).toBeCloseTo(up, 5)
      expect(rowOf(`${name}: centre downstream`).total).toBeCloseTo(down, 5)
    }
  })
  it('per degree of arrow: −tan δ; per cent of tension T/(T − m v²)', () => {
    expect(rowOf('both arrows, counter-clockwise').total).toBeCloseTo(-100 * radians(1) * Math.tan(radians(7)), 9)
    const momentum = 0.045 * 1.3 * 36
    expect(rowOf('tension').total).toBeCloseTo(200 / (200 - momentum), 9)
    expect(rowOf('speed').total).toBeCloseTo((-2 * momentum) / (200 - momentum), 9)
    expect(rowOf('basis weight').total).toBeCloseTo(-momentum / (200 - momentum), 9)
  })
  it('moving all three rollers together changes nothing', () => {
    const rows = sensitivitiesOf(zone, state).filter(({ name }) => name.endsWith('centre up'))
    expect(rows).toHaveLength(3)
    expect(rows.reduce((sum, { total }) => sum + total, 0)).toBeCloseTo(0, 9)
  })
  it('the line of pull loads one side as it unloads the other', () => {
    const { sides, total } = rowOf('line of pull, towards the operator side')
    expect(total).toBeCloseTo(0, 9)
    expect('single' in sides ? Number.NaN : Math.sign(sides.operator_side)).toBe(1)
    expect('single' in sides ? Number.NaN : Math.sign(sides.drive_side)).toBe(-1)
  })
})
