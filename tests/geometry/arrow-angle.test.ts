import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  arrowFromGravity,
  arrowFromTwoRopes,
  type FoundArrow,
  type GravityReadings,
} from '../../lib/geometry/arrow-angle.ts'
import { dot, radians, signedAngle, subtract, times, unitAt } from '../../lib/geometry/vector.ts'
import { exactly, within } from '../../lib/uncertainty/uncertain.ts'
import { normal } from '../statistics/noise-sources.ts'

const G = 9.81
const found = (told: FoundArrow): Extract<FoundArrow, { found: true }> => {
  if (!told.found) throw new Error(told.sentence)
  return told
}

/** What a cell with this arrow, sensitivity and zero balance would read, by forces alone. */
interface Rig {
  readonly arrow: number
  readonly sensitivity: number
  readonly zero: number
}
const reads = (rig: Rig, force: { x: number; y: number }): number =>
  rig.zero + rig.sensitivity * dot(unitAt(rig.arrow), force)
const rope = (tension: number, arriving: number, leaving: number) =>
  times(subtract(unitAt(leaving), unitAt(arriving)), tension)
const add = (a: { x: number; y: number }, b: { x: number; y: number }) => ({ x: a.x + b.x, y: a.y + b.y })

/** A roller of 10 kg on this side, a 20 kg weight over a rope that arrives level and leaves at `leaving`. */
function gravityRig(rig: Rig, leaving: number, u: number): GravityReadings {
  const weight = { x: 0, y: -10 * G }
  const hung = rope(20 * G, 0, leaving)
  const bisector = Math.atan2(hung.y, hung.x)
  return {
    noLoad: within(reads(rig, { x: 0, y: 0 }), u),
    rollerOn: within(reads(rig, weight), u),
    knownWeight: within(reads(rig, add(weight, hung)), u),
    rollerForce: within(10 * G, 0.001 * 10 * G),
    ropeTension: within(20 * G, 0.001 * 20 * G),
    wrap: within(Math.abs(leaving), radians(0.3)),
    bisector: within(bisector, radians(0.3)),
  }
}

describe('arrow from no-load, roller-on and known-weight readings of one cell', () => {
  it('finds the arrow whatever sensitivity and zero balance', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -25, max: 25, noNaN: true }),
        fc.double({ min: 0.2, max: 5, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.constantFrom(radians(-60), radians(-90), radians(70)),
        (off, sensitivity, zero, leaving) => {
          const { bisector } = gravityRig({ arrow: 0, sensitivity: 1, zero: 0 }, leaving, 0)
          const rig = { arrow: bisector.value + radians(off), sensitivity, zero }
          const told = found(arrowFromGravity(gravityRig(rig, leaving, 1e-4)))
          expect(signedAngle(told.arrow - rig.arrow)).toBeCloseTo(0, 9)
          expect(told.offBisector.value).toBeCloseTo(radians(off), 9)
          expect(told.reversed).toBe(false)
        },
      ),
    )
  })
  it('u(δ) is u(R)/(c |sin φ|) for readings alone at δ = 0', () => {
    const leaving = radians(-90)
    const u = 0.05
    const { bisector } = gravityRig({ arrow: 0, sensitivity: 1, zero: 0 }, leaving, 0)
    const readings = {
      ...gravityRig({ arrow: bisector.value, sensitivity: 1, zero: 0.7 }, leaving, u),
      rollerForce: exactly(10 * G),
      ropeTension: exactly(20 * G),
      wrap: exactly(radians(90)),
      bisector: exactly(bisector.value),
    }
    const told = found(arrowFromGravity(readings))
    // R = gravity/known; both differences share the roller-on reading. φ = 45°.
    const gravity = 10 * G * Math.SQRT1_2
    const known = 20 * G * Math.SQRT2
    const ratio = gravity / known
    const uRatio = (u * Math.hypot(1, 1 + ratio, ratio)) / known
    const c = 10 / (20 * Math.SQRT2)
    expect(Math.abs(told.offBisector.u / (uRatio / (c * Math.SQRT1_2)) - 1)).toBeLessThan(1e-6)
  })
  it('the 95 % interval holds the truth in 93 to 97 % of 4000 rigs', () => {
    const error = normal(5)
    const leaving = radians(-90)
    const truth = radians(6)
    let held = 0
    for (let run = 0; run < 4000; run += 1) {
      const { bisector } = gravityRig({ arrow: 0, sensitivity: 1, zero: 0 }, leaving, 0)
      const exact = gravityRig({ arrow: bisector.value + truth, sensitivity: 1.3, zero: 0.4 }, leaving, 0.3)
      const off = ({ value, u }: { value: number; u: number }) => within(value + u * error(), u)
      const told = arrowFromGravity({
        noLoad: off(exact.noLoad),
        rollerOn: off(exact.rollerOn),
        knownWeight: off(exact.knownWeight),
        rollerForce: off(exact.rollerForce),
        ropeTension: off(exact.ropeTension),
        wrap: off(exact.wrap),
        bisector: off(exact.bisector),
      })
      if (Math.abs(found(told).offBisector.value - truth) <= found(told).offBisector.U) held += 1
    }
    console.log(`coverage of nominal 95 %, arrow from gravity: ${(held / 40).toFixed(1)} % of 4000 rigs`)
    expect(held / 40).toBeGreaterThanOrEqual(93)
    expect(held / 40).toBeLessThanOrEqual(97)
  })
  it('a swapped polarity or an arrow turned by half a turn shows as reversed', () => {
    const { bisector } = gravityRig({ arrow: 0, sensitivity: 1, zero: 0 }, radians(-90), 0)
    const rig = { arrow: bisector.value + Math.PI + radians(3), sensitivity: 1, zero: 0 }
    const told = found(arrowFromGravity(gravityRig(rig, radians(-90), 1e-3)))
    expect(told.reversed).toBe(true)
    expect(signedAngle(told.arrow - rig.arrow)).toBeCloseTo(0, 9)
  })
  it('cannot be found with the bisector near vertical, without a response, or from readings too rough', () => {
    const ordinary = gravityRig({ arrow: radians(-90), sensitivity: 1, zero: 0 }, radians(-90), 0.01)
    const vertical = arrowFromGravity({ ...ordinary, bisector: within(radians(-85), 0.005) })
    expect(vertical).toMatchObject({ found: false, why: 'bisector-near-vertical' })
    expect(vertical).toHaveProperty('sentence', expect.stringContaining('cannot be found this way'))
    const rig = { arrow: radians(-45), sensitivity: 1, zero: 0 }
    const dead = gravityRig({ ...rig, sensitivity: 0 }, radians(-90), 0.01)
    expect(arrowFromGravity(dead)).toMatchObject({ found: false, why: 'no-response' })
    const { bisector } = gravityRig(rig, radians(-90), 0)
    const rough = gravityRig({ arrow: bisector.value, sensitivity: 1, zero: 0 }, radians(-90), 12)
    expect(arrowFromGravity(rough)).toMatchObject({ found: false, why: 'too-uncertain' })
  })
})

describe('arrow from known weights along two rope directions', () => {
  const bisector = radians(-90)
  const setting = (rig: Rig, tension: number, arriving: number, leaving: number, u: number) => ({
    reading: within(reads(rig, rope(tension, arriving, leaving)), u),
    arriving: within(arriving, radians(0.5)),
    leaving: within(leaving, radians(0.5)),
    tension: within(tension, 0.001 * tension),
  })
  it('finds the arrow with the bisector vertical, where gravity cannot, whatever weights', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -60, max: 60, noNaN: true }),
        fc.double({ min: 50, max: 400, noNaN: true }),
        fc.constantFrom(1, -1),
        (off, second, polarity) => {
          const rig = { arrow: bisector + radians(off), sensitivity: 0.01 * polarity, zero: 2.4 }
          const first = setting(rig, 200, radians(30), radians(-30), 1e-5)
          const other = setting(rig, second, 0, radians(-90), 1e-5)
          const told = found(arrowFromTwoRopes(within(rig.zero, 1e-5), first, other, bisector))
          expect(told.offBisector.value).toBeCloseTo(radians(off), 9)
          expect(told.reversed).toBe(polarity === -1)
        },
      ),
    )
  })
  it('the same weight twice has no uncertainty of its own', () => {
    const rig = { arrow: bisector + radians(4), sensitivity: 0.01, zero: 2.4 }
    const first = setting(rig, 200, radians(30), radians(-30), 1e-4)
    const { tension: _, ...other } = setting(rig, 200, 0, radians(-90), 1e-4)
    const same = found(arrowFromTwoRopes(within(rig.zero, 1e-4), first, { ...other, tension: 'same' }, bisector))
    const apart = found(
      arrowFromTwoRopes(within(rig.zero, 1e-4), first, { ...other, tension: first.tension }, bisector),
    )
    expect(same.offBisector.value).toBeCloseTo(radians(4), 9)
    expect(same.offBisector.u).toBeLessThan(apart.offBisector.u)
  })
  it('cannot be found from ropes that pull alike or make no signal', () => {
    const rig = { arrow: bisector, sensitivity: 0.01, zero: 0 }
    const first = setting(rig, 200, radians(30), radians(-30), 1e-4)
    const alike = setting(rig, 200, radians(35), radians(-30), 1e-4)
    expect(arrowFromTwoRopes(exactly(0), first, alike, bisector)).toMatchObject({
      found: false,
      why: 'ropes-too-alike',
    })
    const dead = { ...rig, sensitivity: 0 }
    expect(
      arrowFromTwoRopes(
        within(0, 1e-4),
        setting(dead, 200, 0.5, -0.5, 1e-4),
        setting(dead, 200, 0, -1.5, 1e-4),
        bisector,
      ),
    ).toMatchObject({ found: false, why: 'no-response' })
  })
})
