import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { coreToFull } from '../../lib/geometry/core-to-full.ts'
import { expectedOf } from '../../lib/geometry/expected.ts'
import { ofSide } from '../../lib/geometry/sided.ts'
import { Machine, type MachineParameters } from '../../simulator/physics/machine.ts'
import { woundRadius } from '../../simulator/physics/winding.ts'
import type { ZoneState } from '../../simulator/physics/zone.ts'
import { WINDER, winder } from '../../simulator/scenarios/winder.ts'
import { plainZone, RUNNING } from '../geometry/plain-zone.ts'

const degrees = (radians: number) => (radians * 180) / Math.PI
const ROLL = { coreRadius: 0.08, fullRadius: 0.56, thickness: 0.0003 }

/** The winder without noise, wander, ripple, unbalance, runout or cell errors, its roll at `radius`. */
function quietWinder(radius: number): MachineParameters {
  const line = winder.parameters()
  line.speedWander = 0
  const zone = line.zones[WINDER]
  if (zone === undefined) throw new Error('the winder has one zone')
  zone.path.after.radius = radius
  Object.assign(zone.web, { wander: 0, pullOffset: 0 })
  Object.assign(zone.upstream, { wander: 0, ripple: 0 })
  zone.roller.runout.amplitude = 0
  zone.roller.dragTorque = 0
  for (const end of ['drive_side', 'operator_side'] as const) zone.roller.unbalance[end].massRadius = 0
  return line
}

function run(radius: number, seconds: number): ZoneState {
  const machine = new Machine(quietWinder(radius), winder.programme, 1)
  for (let i = 0; i < seconds * 1000; i++) machine.step(0.001)
  return machine.state.zones[WINDER] as ZoneState
}

describe('a roll that winds up the web', () => {
  it('grows by thickness × length of side face: 1000 m of 0.3 mm on a core of 160 mm make 638.4 mm', () => {
    // By hand: 0.08² + 0.3/π = 0.0064 + 0.0954930 = 0.1018930 m², its root 0.319207 m.
    expect(2000 * woundRadius(ROLL, 0.08, 1000)).toBeCloseTo(638.41, 2)
    // Full after π (0.56² − 0.08²)/0.0003 = 3217 m.
    expect(woundRadius(ROLL, 0.08, 3216)).toBeCloseTo(0.56, 3)
  })

  it('however the length is cut up, the roll is the same, and a full one gives way to a core', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1600, noNaN: true }),
        fc.double({ min: 0, max: 1600, noNaN: true }),
        (a, b) => {
          expect(woundRadius(ROLL, woundRadius(ROLL, 0.08, a), b)).toBeCloseTo(woundRadius(ROLL, 0.08, a + b), 12)
        },
      ),
    )
    expect(woundRadius(ROLL, 0.5599, 10)).toBe(0.08)
  })

  it('stands while the web stands, and grows as the web runs: 4 m/s for 5 s are 20 m', () => {
    expect(run(0.08, 5).nextDiameter / 2).toBeCloseTo(Math.sqrt(0.0064 + (20 * 0.0003) / Math.PI), 5)
    const standing = new Machine(quietWinder(0.1), { ...winder.programme, startSpeed: 0 }, 1)
    for (let i = 0; i < 500; i++) standing.step(0.001)
    expect(standing.state.zones[WINDER]?.nextDiameter).toBe(0.2)
  })

  it('too large to stand beside the measuring roller, it is refused before it has grown', () => {
    const line = quietWinder(0.08)
    const machine = new Machine(line, winder.programme, 1)
    const zone = line.zones[WINDER]
    if (zone?.winding === undefined) throw new Error('it winds')
    zone.winding.fullRadius = 0.75
    expect(() => machine.refresh()).toThrow(/measuring and winding roll overlap/)
  })
})

/**
 * By hand, from right triangles. All three rollers turn one way, so each span is an external tangent: it turns out of
 * the line of centres by asin((R − r)/D) (open belt, Shigley's Mechanical Engineering Design, eq. 17-1). Arriving: equal
 * radii, along the line of centres (0.8, 0.6). Leaving, D = 0.8 m and r = 80 mm: R = 80 mm, along the line of centres
 * (0.6, −0.8); R = 320 mm, sine 0.3; R = 560 mm, sine 0.6, hence (0.6·0.8 + 0.8·0.6, −0.8·0.8 + 0.6·0.6) = (0.96, −0.28).
 * An arrow straight down feels 0.6 less the vertical part of the leaving direction.
 */
const BY_HAND = [
  { radius: 0.08, wrap: 90, factor: 1.4 },
  { radius: 0.32, wrap: 90 - 17.4576, factor: 0.6 + 0.8 * Math.sqrt(1 - 0.09) - 0.6 * 0.3 },
  { radius: 0.56, wrap: 53.1301, factor: 0.88 },
] as const

describe('the tangent to the roll, by hand', () => {
  it.each(BY_HAND)('roll of $radius m in the simulator: wrap $wrap°, arrows down feel $factor × (T − m·v²)', (hand) => {
    // A moment before, so that the full roll is still there.
    const zone = run(hand.radius - 1e-5, 0.01)
    expect(degrees(zone.wrap)).toBeCloseTo(hand.wrap, 1)
    const web = 0.24 * 1.2 * 16
    const felt = zone.cells.drive_side.force + zone.cells.operator_side.force - 14 * 9.80665
    expect(Math.abs(felt / (zone.tensionIn - web) / hand.factor - 1)).toBeLessThan(1e-3)
  })

  const lib = {
    ...plainZone({
      before: { name: 'before', centre: { x: -0.8, y: -0.6 }, radius: 0.08, turn: -1 },
      measuring: { name: 'measuring', centre: { x: 0, y: 0 }, radius: 0.08, turn: -1 },
      after: { name: 'winding roll', centre: { x: 0.48, y: -0.64 }, radius: 0.08, turn: -1 },
    }),
    moving: { kind: 'winding-roll', at: 'after', coreRadius: 0.08, fullRadius: 0.56 } as const,
  }
  const down = {
    ...lib,
    cells: {
      drive_side: { ...lib.cells.drive_side, arrow: -Math.PI / 2 },
      operator_side: { ...lib.cells.operator_side, arrow: -Math.PI / 2 },
    },
  }

  it.each(BY_HAND)('roll of $radius m in the product: wrap $wrap°, force factor $factor', (hand) => {
    const told = expectedOf(down, { ...RUNNING, neighbour: hand.radius })
    if (!told.possible) throw new Error(told.fault.kind)
    expect(degrees(told.expected.wrap.angle)).toBeCloseTo(hand.wrap, 4)
    expect(ofSide(told.expected.sides, 'drive_side').forceFactor).toBeCloseTo(hand.factor, 9)
  })

  it('from core to full the force factor spreads by (1.4 − 0.88)/1.14 = 45.6 %', () => {
    const told = coreToFull(down)
    if (told === undefined) throw new Error('it moves')
    expect(ofSide(told.spread, 'drive_side').percent).toBeCloseTo(45.614, 2)
  })
})
