import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { arrowFromTwoRopes, type FoundArrow } from '../../lib/geometry/arrow-angle.ts'
import { dot, radians, subtract, times, unitAt } from '../../lib/geometry/vector.ts'
import { exactly, within } from '../../lib/uncertainty/uncertain.ts'

const _G = 9.81
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
const _add = (a: { x: number; y: number }, b: { x: number; y: number }) => ({ x: a.x + b.x, y: a.y + b.y })

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
