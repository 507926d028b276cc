import { describe, expect, it } from 'vitest'
import { Machine } from '../../../simulator/physics/machine.ts'
import type { ZoneState } from '../../../simulator/physics/zone.ts'
import { install } from '../../../simulator/scenarios/install.ts'
import { Technician } from '../../../simulator/technician/technician.ts'

const radians = (degrees: number) => (degrees * Math.PI) / 180
const inDegrees = (angle: number) => (angle * 180) / Math.PI
const ZONE = 'laminator-outfeed'
const G = 9.80665

/** The fresh install, noise and all, with its drive side's arrow 12° off: locked out, web off. */
function spoilt(seed: number) {
  const machine = new Machine(install.parameters(), install.programme, seed)
  const technician = new Technician(machine, seed, { sound: install.parameters() })
  const zone = machine.parameters.zones[ZONE]
  if (zone === undefined) throw new Error('the line has changed')
  zone.cells.drive_side.arrow += radians(12)
  const act = (id: string, args: Record<string, unknown> = {}) => {
    const { refused } = technician.do(id, args)
    if (refused !== undefined) throw new Error(`${id}: ${refused.reason}`)
  }
  /** Mean output of the drive side over 4 s, mV/V. */
  const signal = () => {
    let sum = 0
    for (let i = 0; i < 4000; i++) sum += (machine.step(0.001).zones[ZONE] as ZoneState).cells.drive_side.output
    return sum / 4000
  }
  act('lock-out')
  act('take-web-off')
  return { act, signal, truth: inDegrees(zone.cells.drive_side.arrow) }
}

describe('an arrow 12° off at a bisector 40° from vertical, with nobody telling its angle', () => {
  it.each([1, 2, 3])('shows in the weight of the bare roller (seed %i)', (seed) => {
    const { act, signal, truth } = spoilt(seed)
    act('lift-roller')
    const empty = signal()
    act('set-down-roller')
    const newtons = ((signal() - empty) * 500) / 2.001
    // 18 kg, its centre 2 mm towards the operator side of 1.5 m.
    const cosine = newtons / (18 * G * (0.5 - 0.002 / 1.5))
    const found = -90 + inDegrees(Math.acos(cosine))
    // The weight tells it from straight down, either way; the mark on the cell says which.
    expect(Math.abs(found - truth)).toBeLessThan(0.5)
    expect(Math.abs(found - -50.3)).toBeGreaterThan(10)
  })

  it.each([1, 2, 3])('shows in two ropes of different directions, whatever zero and gain are (seed %i)', (seed) => {
    const { act, signal, truth } = spoilt(seed)
    const bare = signal()
    const under = (arriving_deg: number, leaving_deg: number) => {
      act('hang-weight', { kg: 15, path: { arriving_deg, leaving_deg } })
      const response = signal() - bare
      act('take-weight-off')
      return response
    }
    // Straight down on both sides: pull along (0, −2). From level to straight down: along (−1, −1).
    const ratio = under(0, -90) / under(90, -90)
    // (a · (−1, −1))/(a · (0, −2)) = (cos + sin)/(2 sin), so cot of the arrow is 2 ratio − 1.
    const found = inDegrees(Math.atan2(-1, -(2 * ratio - 1)))
    expect(Math.abs(found - truth)).toBeLessThan(0.5)
  })
})
