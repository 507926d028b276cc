import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { atAngle, length, quarterTurn, subtract, times } from '../../simulator/physics/vector.ts'
import { integrateWrap, tabulateWrap } from '../../simulator/physics/wrap.ts'

const degrees = (value: number) => (value * Math.PI) / 180
const arc = (wrap: number, radius = 0.075, entryAngle = 0.3, turns: 'cw' | 'ccw' = 'ccw') => ({
  entryAngle,
  wrap,
  turns,
  radius,
})
const still = { tensionRise: 0, momentum: 0, friction: 0.3 }

describe('web standing on a smooth-running roller', () => {
  // Force of a flexible belt on a shaft, T = 100 N: vector sum of the two spans, computed with numpy (C).
  it.each([
    [10, 17.431148549531635],
    [30, 51.76380902050415],
    [60, 100],
    [90, 141.42135623730948],
    [120, 173.20508075688772],
    [180, 200],
    [240, 173.20508075688775],
  ])('wrap %d°: %f N', (wrap, newtons) => {
    const sum = integrateWrap(tabulateWrap(arc(degrees(wrap)), 48), { tensionIn: 100, ...still })
    expect(length(sum.fromTension)).toBeCloseTo(newtons, 4)
    expect(sum.torque).toBe(0)
    expect(sum.slips).toBe(false)
  })
})

describe('belt friction of textbooks', () => {
  // Beer & Johnston, Vector Mechanics: Statics, problem 8.113: 900 N on the axle, r 60 mm, μ 0.35,
  // 180°: couple 27.0 N·m, largest tension 675 N (V2); smaller tension 224.84 N (C).
  it('a pulley on the point of slipping', () => {
    const table = tabulateWrap(arc(Math.PI, 0.06), 400)
    const sum = integrateWrap(table, { tensionIn: 224.84054529872392, tensionRise: 5000, momentum: 0, friction: 0.35 })
    expect(sum.slips).toBe(true)
    expect(sum.tensionOut).toBeCloseTo(675.16, 1)
    expect(sum.torque).toBeCloseTo(27.02, 2)
    // Parallel spans load the axle with the sum of both tensions.
    expect(length(sum.fromTension)).toBeCloseTo(900, 1)
  })

  // Hibbeler, Statics, problem 8-83: 250 kg, μ 0.2: 1308.38 N holds it over half a turn (V2).
  it('a rope that lets a mass down', () => {
    const table = tabulateWrap(arc(Math.PI), 400)
    const sum = integrateWrap(table, { tensionIn: 250 * 9.81, tensionRise: -1e4, momentum: 0, friction: 0.2 })
    expect(sum.slips).toBe(true)
    expect(sum.tensionOut).toBeCloseTo(1308.38, 1)
  })

  // Shigley, table 17-2 data: Fc 73.4 lbf, f 0.8, φ 3.037 rad, F2 137.53 lbf → F1 801.53 lbf (C; printed 802).
  it('momentum takes grip away', () => {
    const table = tabulateWrap(arc(3.037), 2000)
    const load = { tensionIn: 137.52770260426905, tensionRise: 5000, momentum: 73.4, friction: 0.8 }
    expect(integrateWrap(table, load).tensionOut).toBeCloseTo(801.53, 1)
  })
})

describe('any wrap and load', () => {
  const loads = fc.record({
    wrap: fc.double({ min: 0.05, max: 4.5, noNaN: true }),
    entryAngle: fc.double({ min: -3, max: 3, noNaN: true }),
    turns: fc.constantFrom('cw' as const, 'ccw' as const),
    tensionIn: fc.double({ min: 1, max: 2000, noNaN: true }),
    share: fc.double({ min: -0.5, max: 2, noNaN: true }),
    lift: fc.double({ min: 0, max: 0.9, noNaN: true }),
    friction: fc.double({ min: 0.05, max: 0.6, noNaN: true }),
  })

  // Control volume around the wrapped web: the roller takes the change of (T − m v²) along the web
  // (momentum theorem, any fluid mechanics text). The sum over the elements does not use it.
  it('pressure and shear add up to what the two spans and the momentum leave', () => {
    fc.assert(
      fc.property(loads, ({ wrap, entryAngle, turns, tensionIn, share, lift, friction }) => {
        const table = tabulateWrap(arc(wrap, 0.05, entryAngle, turns), 200)
        const load = { tensionIn, tensionRise: share * tensionIn, momentum: lift * tensionIn, friction }
        const sum = integrateWrap(table, load)
        const sense = turns === 'ccw' ? 1 : -1
        const along = (angle: number) => times(quarterTurn(atAngle(angle)), sense)
        const exit = times(along(entryAngle + sense * wrap), sum.tensionOut - load.momentum)
        const entry = times(along(entryAngle), tensionIn - load.momentum)
        const expected = subtract(exit, entry)
        const got = { x: sum.fromTension.x + sum.fromMomentum.x, y: sum.fromTension.y + sum.fromMomentum.y }
        expect(length(subtract(got, expected))).toBeLessThan(1e-4 * (tensionIn + sum.tensionOut))
      }),
    )
  })

  it('friction never gives more than was asked, and slip is said exactly when it gives less', () => {
    fc.assert(
      fc.property(loads, ({ wrap, tensionIn, share, lift, friction }) => {
        const load = { tensionIn, tensionRise: share * tensionIn, momentum: lift * tensionIn, friction }
        const sum = integrateWrap(tabulateWrap(arc(wrap, 0.05), 100), load)
        const rise = sum.tensionOut - tensionIn
        expect(Math.abs(rise)).toBeLessThanOrEqual(Math.abs(load.tensionRise) + 1e-9)
        expect(sum.slips).toBe(Math.abs(rise - load.tensionRise) > 1e-9 * tensionIn)
        expect(sum.torque).toBeCloseTo(rise * 0.05, 9)
      }),
    )
  })

  it('a web lifted by its own momentum neither presses nor drives', () => {
    const load = { tensionIn: 10, tensionRise: 5, momentum: 12, friction: 0.4 }
    const sum = integrateWrap(tabulateWrap(arc(2), 48), load)
    expect(Math.hypot(sum.fromTension.x + sum.fromMomentum.x, sum.fromTension.y + sum.fromMomentum.y)).toBeCloseTo(0, 9)
    expect(sum.torque).toBeCloseTo(0, 9)
  })
})
