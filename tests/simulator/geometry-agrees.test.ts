import { describe, expect, it } from 'vitest'
import { expectedOf } from '../../lib/geometry/expected.ts'
import { forcesOf } from '../../lib/geometry/forces.ts'
import { ImpossiblePath } from '../../lib/geometry/path-fault.ts'
import type { Roller } from '../../lib/geometry/tangent.ts'
import { Random } from '../../lib/uncertainty/random.ts'
import { forcesOnEnds } from '../../simulator/physics/ends.ts'
import { contactArc, type LayoutRoller } from '../../simulator/physics/layout.ts'
import { atAngle, dot, vec } from '../../simulator/physics/vector.ts'
import { integrateWrap, tabulateWrap } from '../../simulator/physics/wrap.ts'
import { GRAVITY, WRAP_ELEMENTS } from '../../simulator/physics/zone.ts'
import { plainZone } from '../geometry/plain-zone.ts'

/**
 * Two ways to the same force that share no code. The simulator finds the contact arc by pulling a thread straight
 * between the rollers, lays pressure and friction shear on it element by element (with a slip arc where the roller
 * drags), sums them, and balances a beam. The product takes common tangents and the momentum balance in closed form.
 */
const LAYOUTS = 6000

interface Layout {
  readonly rollers: readonly [Roller, Roller, Roller]
  readonly arrows: { readonly drive_side: number; readonly operator_side: number }
  readonly tensionIn: number
  readonly tensionRise: number
  readonly momentum: number
  readonly friction: number
  readonly mass: number
  readonly centreOfMass: number
  readonly cellDistance: number
  readonly lineOfPull: number
  readonly webOffset: number
}

function randomLayout(random: Random): Layout {
  const between = (low: number, high: number): number => low + (high - low) * random.uniform()
  const turn = (): 1 | -1 => (random.uniform() < 0.5 ? 1 : -1)
  const radius = between(0.03, 0.15)
  const place = (name: string): Roller => {
    const own = between(0.02, 0.4)
    const distance = radius + own + between(0.005, 1.5)
    const at = between(-Math.PI, Math.PI)
    return { name, centre: { x: distance * Math.cos(at), y: distance * Math.sin(at) }, radius: own, turn: turn() }
  }
  const tensionIn = between(20, 2000)
  const cellDistance = between(0.3, 4)
  return {
    rollers: [place('before'), { name: 'measuring', centre: { x: 0, y: 0 }, radius, turn: turn() }, place('after')],
    arrows: { drive_side: between(-Math.PI, Math.PI), operator_side: between(-Math.PI, Math.PI) },
    tensionIn,
    tensionRise: random.uniform() < 0.3 ? 0 : between(-0.3, 0.5) * tensionIn,
    momentum: random.uniform() < 0.3 ? 0 : between(0, 0.6) * tensionIn,
    friction: between(0.05, 0.6),
    mass: between(0, 200),
    centreOfMass: between(-0.1, 0.1) * cellDistance,
    cellDistance,
    lineOfPull: between(-0.6, 0.6) * cellDistance,
    webOffset: between(-0.4, 0.4) * cellDistance,
  }
}

const drawn = ({ name, centre, radius, turn }: Roller): LayoutRoller => ({
  name,
  centre,
  radius,
  turns: turn === 1 ? 'ccw' : 'cw',
})

/** Undefined where the simulator will not thread the web so. */
function simulated(layout: Layout) {
  const [before, measuring, after] = layout.rollers
  let arc: ReturnType<typeof contactArc>
  try {
    arc = contactArc(drawn(before), drawn(measuring), drawn(after))
  } catch (error) {
    if (error instanceof RangeError) return undefined
    throw error
  }
  const sum = integrateWrap(tabulateWrap(arc, WRAP_ELEMENTS), layout)
  const ends = forcesOnEnds(
    [
      { force: sum.fromTension, at: layout.lineOfPull },
      { force: sum.fromMomentum, at: layout.webOffset },
      { force: vec(0, -layout.mass * GRAVITY), at: layout.centreOfMass },
    ],
    layout.cellDistance,
  )
  return {
    wrap: arc.wrap,
    tensionOut: sum.tensionOut,
    slips: sum.slips,
    drive_side: dot(atAngle(layout.arrows.drive_side), ends.drive_side),
    operator_side: dot(atAngle(layout.arrows.operator_side), ends.operator_side),
  }
}

function computed(layout: Layout, tensionOut: number) {
  const [before, measuring, after] = layout.rollers
  try {
    return forcesOf({
      ...layout,
      before,
      measuring,
      after,
      gravity: GRAVITY,
      tension: (layout.tensionIn + tensionOut) / 2,
      tensionRise: tensionOut - layout.tensionIn,
      // m v² = basis weight · width · v².
      basisWeight: layout.momentum,
      width: 1,
      speed: 1,
    })
  } catch (error) {
    if (error instanceof ImpossiblePath) return error.fault.kind
    throw error
  }
}

describe('the forces on the cells, by integration over the wrap and in closed form', () => {
  it(`agree to 1e-6 of the larger tension over ${LAYOUTS} random layouts`, () => {
    const random = Random.seeded(20_240_501)
    let worst = 0
    let worstWrap = 0
    const seen = new Map<string, number>()
    const count = (what: string) => seen.set(what, (seen.get(what) ?? 0) + 1)
    for (let compared = 0; compared < LAYOUTS; ) {
      const layout = randomLayout(random)
      const truth = simulated(layout)
      if (truth === undefined) continue
      const told = computed(layout, truth.tensionOut)
      if (typeof told === 'string') {
        count(`refused: ${told}`)
        continue
      }
      compared += 1
      const [before, measuring, after] = layout.rollers
      count(`${before.turn === measuring.turn ? 'external' : 'internal'} in`)
      count(`${after.turn === measuring.turn ? 'external' : 'internal'} out`)
      count(`quadrant ${Math.floor((told.wrap.bisector + Math.PI) / (Math.PI / 2))}`)
      if (layout.momentum > 0) count('moving')
      if (truth.slips) count('slipping')
      if (truth.wrap > Math.PI) count('more than half a turn')
      if (Math.abs(layout.lineOfPull) > layout.cellDistance / 2) count('pull beyond a cell')
      if (!('drive_side' in told.sides)) throw new Error('two sides went in')
      const larger = Math.max(layout.tensionIn, truth.tensionOut)
      const off = Math.max(
        Math.abs(told.sides.drive_side.force - truth.drive_side),
        Math.abs(told.sides.operator_side.force - truth.operator_side),
      )
      worst = Math.max(worst, off / larger)
      worstWrap = Math.max(worstWrap, Math.abs(told.wrap.angle - truth.wrap))
    }
    console.log(
      `largest difference: ${worst.toExponential(1)} of the larger tension, wrap ${worstWrap.toExponential(1)} rad`,
    )
    console.log(
      `layouts: ${[...seen]
        .map(([what, n]) => `${what} ${n}`)
        .sort()
        .join(', ')}`,
    )
    expect(worst).toBeLessThan(1e-6)
    expect(worstWrap).toBeLessThan(1e-6)
    for (const kind of ['external in', 'internal in', 'external out', 'internal out', 'moving', 'slipping'])
      expect(seen.get(kind)).toBeGreaterThan(LAYOUTS / 20)
    for (const quadrant of [0, 1, 2, 3]) expect(seen.get(`quadrant ${quadrant}`)).toBeGreaterThan(LAYOUTS / 8)
    expect(seen.get('more than half a turn')).toBeGreaterThan(LAYOUTS / 50)
  })

  it('what the whole description makes of the same layout is the same', () => {
    const random = Random.seeded(7)
    for (let compared = 0; compared < 200; ) {
      const layout = randomLayout(random)
      const truth = simulated(layout)
      if (truth === undefined || layout.tensionRise !== 0) continue
      const [before, measuring, after] = layout.rollers
      const zone = plainZone({ before, measuring, after })
      const result = expectedOf(
        {
          ...zone,
          roller: { ...zone.roller, mass: layout.mass, centreOfMass: layout.centreOfMass },
          cellDistance: layout.cellDistance,
          gravity: GRAVITY,
          cells: {
            drive_side: { ...zone.cells.drive_side, arrow: layout.arrows.drive_side },
            operator_side: { ...zone.cells.operator_side, arrow: layout.arrows.operator_side },
          },
          web: { width: 0.8, basisWeight: 0.05 },
        },
        {
          tension: layout.tensionIn,
          tensionRise: 0,
          speed: Math.sqrt(layout.momentum / (0.05 * 0.8)),
          lineOfPull: layout.lineOfPull,
          webOffset: layout.webOffset,
          neighbour: null,
        },
      )
      if (!result.possible) continue
      compared += 1
      const { sides, webForce, bareForce, force } = result.expected
      if (!('drive_side' in sides)) throw new Error('two sides went in')
      expect(Math.abs(sides.drive_side.force - truth.drive_side)).toBeLessThan(1e-6 * layout.tensionIn)
      expect(Math.abs(sides.operator_side.force - truth.operator_side)).toBeLessThan(1e-6 * layout.tensionIn)
      expect(webForce + bareForce).toBeCloseTo(force, 9)
    }
  })
})
