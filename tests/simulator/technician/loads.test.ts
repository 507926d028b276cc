import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { soundFit } from '../../../simulator/physics/fit.ts'
import { quietLine } from '../quiet-line.ts'
import { atTheLine } from './at-the-line.ts'

const radians = (degrees: number) => (degrees * Math.PI) / 180
const G = 9.80665

/** Locked out, web off: what the cells feel is the bare roller and what hands add. */
function bare(line = quietLine()) {
  const at = atTheLine(line)
  at.all('stop', 'lock-out', 'take-web-off')
  const before = at.forces()
  const added = () => ({ ds: at.forces().ds - before.ds, os: at.forces().os - before.os })
  return { ...at, before, added }
}

describe('loads by hand', () => {
  it('the bare roller rests on both cells by its lever arms, seen along each arrow', () => {
    const { before } = bare()
    // 14 kg whose centre is 5 mm towards the drive side of 1.6 m: shares 0.5 ± 0.005/1.6; arrows 13 and 14° off vertical.
    expect(before.ds).toBeCloseTo(14 * G * (0.5 + 0.005 / 1.6) * Math.cos(radians(13)), 6)
    expect(before.os).toBeCloseTo(14 * G * (0.5 - 0.005 / 1.6) * Math.cos(radians(14)), 6)
  })

  it('a push on one end is felt by that cell alone, by the cosine between push and arrow', () => {
    const { all, added } = bare()
    all(['push-end', { side: 'operator_side', newtons: 100, direction: -90 }])
    expect(added().os).toBeCloseTo(100 * Math.cos(radians(14)), 6)
    expect(added().ds).toBeCloseTo(0, 6)
    all('let-go')
    expect(added().os).toBeCloseTo(0, 9)
  })

  it('a push the way the web pulls goes along the bisector of the drawn path', () => {
    const { all, added, zone } = bare()
    all(['push-end', { side: 'drive_side', newtons: 80 }])
    // The arrows stand on the bisector within a degree: cos 1° is 0.99985.
    expect(added().ds).toBeGreaterThan(80 * 0.9998)
    expect(added().ds).toBeLessThanOrEqual(80)
    zone().cells.drive_side.arrow += Math.PI
    all(['push-end', { side: 'drive_side', newtons: 80 }])
    expect(added().ds).toBeLessThan(0)
  })

  it('a centred weight is m g times 2 sin(wrap/2) along the bisector, half on each side', () => {
    const line = quietLine()
    for (const zone of Object.values(line.zones)) zone.roller.dragTorque = 0
    const { all, added, state, machine } = bare(line)
    all(['hang-weight', { kg: 20 }])
    const pull = 20 * G * (1 - 0.002) * 2 * Math.sin(state().wrap / 2)
    const resultant = machine.resultant('coater-outfeed')
    const bisector = Math.atan2(resultant.y, resultant.x)
    expect(added().ds).toBeCloseTo((pull / 2) * Math.cos(radians(-103) - bisector), 6)
    expect(added().os).toBeCloseTo((pull / 2) * Math.cos(radians(-104) - bisector), 6)
  })

  it('an off-centre weight moves no sum, and the difference by 2F/L a metre', () => {
    const line = quietLine()
    for (const zone of Object.values(line.zones)) zone.cells.operator_side.arrow = zone.cells.drive_side.arrow
    const { all, added } = bare(line)
    const at = (mm: number) => {
      all('take-weight-off', ['hang-weight', { kg: 20, at_mm: mm }])
      return { sum: added().ds + added().os, difference: added().os - added().ds }
    }
    const [left, middle, right] = [at(-400), at(0), at(400)]
    expect(left.sum).toBeCloseTo(middle.sum, 9)
    expect(right.sum).toBeCloseTo(middle.sum, 9)
    expect((right.difference - left.difference) / 0.8).toBeCloseTo((2 * middle.sum) / 1.6, 6)
  })

  it('a rope straight down on both sides of the roller pulls with twice its weight, whatever the web’s path', () => {
    const line = quietLine()
    for (const zone of Object.values(line.zones)) zone.roller.dragTorque = 0
    const { all, added } = bare(line)
    all(['hang-weight', { kg: 10, path: { arriving_deg: 90, leaving_deg: -90 } }])
    expect(added().ds).toBeCloseTo(10 * G * 0.998 * Math.cos(radians(13)), 4)
    expect(added().os).toBeCloseTo(10 * G * 0.998 * Math.cos(radians(14)), 4)
  })

  it('the same weight reads higher coming up than going down, by the friction of guides and bearing', () => {
    const { all, added } = bare()
    all(['hang-weight', { kg: 10 }], ['hang-weight', { kg: 20 }])
    const loading = added().ds
    all(['hang-weight', { kg: 30 }], ['hang-weight', { kg: 20 }])
    const unloading = added().ds
    // 2 × 0.2 % from the guides, and 0.03 N·m over 75 mm: 0.4 N of 196 N on one span of two, twice: 0.4 %.
    expect((unloading - loading) / loading).toBeGreaterThan(0.004)
    expect((unloading - loading) / loading).toBeLessThan(0.007)
  })

  // Belt resultant in closed form, T (u_out − u_in), and levers: nothing of the simulator's own sums.
  it('any rope, anywhere, in any two directions, pulls as two spans of its weight do', () => {
    const line = quietLine()
    for (const zone of Object.values(line.zones)) zone.roller.dragTorque = 0
    const { machine, zone, forces, before } = bare(line)
    const { hands } = zone()
    if (hands === undefined) throw new Error('nobody has been at the zone')
    const degrees = fc.double({ min: -180, max: 180, noNaN: true })
    const mass = fc.double({ min: 0.1, max: 60, noNaN: true })
    const place = fc.integer({ min: -900, max: 900 })
    fc.assert(
      fc.property(mass, place, degrees, degrees, (kg, at_mm, arriving_deg, leaving_deg) => {
        fc.pre(Math.abs(Math.sin(radians((leaving_deg - arriving_deg) / 2))) > 0.01)
        const path = { arriving: radians(arriving_deg), leaving: radians(leaving_deg) }
        hands.rope = { mass: kg, at: at_mm / 1000, path, moved: 'down' }
        machine.step(0.001)
        const pull = kg * G * (1 - hands.ropeFriction)
        const x = pull * (Math.cos(radians(leaving_deg)) - Math.cos(radians(arriving_deg)))
        const y = pull * (Math.sin(radians(leaving_deg)) - Math.sin(radians(arriving_deg)))
        const share = 0.5 + at_mm / 1000 / 1.6
        const along = (deg: number) => x * Math.cos(radians(deg)) + y * Math.sin(radians(deg))
        expect(Math.abs(forces().os - before.os - share * along(-104))).toBeLessThan(1e-5 * pull)
        expect(Math.abs(forces().ds - before.ds - (1 - share) * along(-103))).toBeLessThan(1e-5 * pull)
      }),
      { numRuns: 500, seed: 3 },
    )
  })

  it('a bound end shows hysteresis and no return to zero, until it is freed', () => {
    const { all, forces, technician, zone } = bare()
    const fit = soundFit()
    Object.assign(fit.ends.drive_side, { freePlay: 0, bindShare: 0.1, bindFriction: 2 })
    zone().fit = fit
    const bareRoller = 14 * G * (0.5 + 0.005 / 1.6) * Math.cos(radians(13))
    all(['hang-weight', { kg: 20 }], 'take-weight-off')
    // Coming down its friction holds 2 N more than its 90 %, coming up 2 N less.
    expect(forces().ds).toBeCloseTo(0.9 * bareRoller + 2, 6)
    all(['push-end', { side: 'drive_side', newtons: 40, direction: 90 }], 'let-go')
    expect(forces().ds).toBeCloseTo(0.9 * bareRoller - 2, 6)
    const play = () => technician.do('check-free-play', { side: 'drive_side' }).observation?.readings[0]?.value
    expect(play()).toBe(false)
    all(['free-cell', { side: 'drive_side' }])
    expect(play()).toBe(true)
    expect(forces().ds).toBeCloseTo(bareRoller, 6)
  })

  it('local gravity weighs roller and weight alike', () => {
    const line = quietLine()
    line.gravity = 9.78
    const there = bare(line)
    const here = bare()
    there.all(['hang-weight', { kg: 20 }])
    here.all(['hang-weight', { kg: 20 }])
    expect(there.before.ds / here.before.ds).toBeCloseTo(9.78 / G, 9)
    expect(there.added().os / here.added().os).toBeCloseTo(9.78 / G, 4)
  })

  it('a lifted roller leaves the cells nothing, not even its weight', () => {
    const { all, forces } = bare()
    all('lift-roller')
    expect(forces()).toEqual({ ds: expect.closeTo(0, 12), os: expect.closeTo(0, 12) })
    all('set-down-roller')
    expect(forces().ds).toBeGreaterThan(60)
  })
})
