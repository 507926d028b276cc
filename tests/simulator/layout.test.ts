import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { contactArc, freeSpan, type LayoutRoller } from '../../simulator/physics/layout.ts'
import { dot, length, quarterTurn, subtract, times } from '../../simulator/physics/vector.ts'

const roller = (name: string, x: number, y: number, radius: number, turns: 'cw' | 'ccw'): LayoutRoller => ({
  name,
  centre: { x, y },
  radius,
  turns,
})

/** Unit direction in which a turning roller carries its surface at the contact point. */
function carries({ centre, turns }: LayoutRoller, contact: { x: number; y: number }) {
  const outward = subtract(contact, centre)
  return times(quarterTurn(outward), (turns === 'ccw' ? 1 : -1) / length(outward))
}

describe('wraps of textbook belts', () => {
  // Shigley's Mechanical Engineering Design, solutions to problem 17-4: D 18 in, d 6 in, C 96 in (V2).
  it('open belt: both wraps and the length as printed', () => {
    const large = roller('large', 0, 0, 9, 'ccw')
    const small = roller('small', 96, 0, 3, 'ccw')
    const onSmall = contactArc(large, small, large)
    const onLarge = contactArc(small, large, small)
    expect(onSmall.wrap).toBeCloseTo(3.016511, 6)
    expect(onLarge.wrap).toBeCloseTo(3.266674, 6)
    const span = freeSpan(large, small)
    const belt = 2 * length(subtract(span.arrives, span.leaves)) + 9 * onLarge.wrap + 3 * onSmall.wrap
    expect(belt).toBeCloseTo(230.074, 3)
  })

  // Pulleys of 72 and 36 cm, 137 cm apart: lengths printed as 446.0 and 465.2 cm (V2).
  it.each([
    ['open', 'ccw', 446.0],
    ['crossed', 'cw', 465.2],
  ] as const)('%s belt: length as printed', (_, turns, printed) => {
    const large = roller('large', 0, 0, 36, 'ccw')
    const small = roller('small', 137, 0, 18, turns)
    const span = freeSpan(large, small)
    const wraps = 36 * contactArc(small, large, small).wrap + 18 * contactArc(large, small, large).wrap
    expect(2 * length(subtract(span.arrives, span.leaves)) + wraps).toBeCloseTo(printed, 0.5)
  })
})

describe('any two rollers apart', () => {
  const turns = fc.constantFrom('cw' as const, 'ccw' as const)
  const pairs = fc
    .record({
      r1: fc.double({ min: 0.01, max: 0.5, noNaN: true }),
      r2: fc.double({ min: 0.01, max: 0.5, noNaN: true }),
      gap: fc.double({ min: 0.001, max: 3, noNaN: true }),
      angle: fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }),
      t1: turns,
      t2: turns,
    })
    .map(({ r1, r2, gap, angle, t1, t2 }) => {
      const d = r1 + r2 + gap
      return [
        roller('a', 1, -2, r1, t1),
        roller('b', 1 + d * Math.cos(angle), -2 + d * Math.sin(angle), r2, t2),
      ] as const
    })

  it('the span touches both circles and runs the way both rollers turn', () => {
    fc.assert(
      fc.property(pairs, ([a, b]) => {
        const { leaves, arrives } = freeSpan(a, b)
        expect(length(subtract(leaves, a.centre))).toBeCloseTo(a.radius, 9)
        expect(length(subtract(arrives, b.centre))).toBeCloseTo(b.radius, 9)
        const travel = subtract(arrives, leaves)
        const direction = times(travel, 1 / length(travel))
        expect(dot(direction, carries(a, leaves))).toBeCloseTo(1, 9)
        expect(dot(direction, carries(b, arrives))).toBeCloseTo(1, 9)
      }),
    )
  })
})

describe('paths that cannot be', () => {
  it('overlapping rollers are refused by name', () => {
    const a = roller('infeed idler', 0, 0, 0.1, 'cw')
    const b = roller('measuring', 0.15, 0, 0.06, 'ccw')
    expect(() => freeSpan(a, b)).toThrow(/infeed idler and measuring overlap/)
  })

  it('a roller the web passes by without touching is refused', () => {
    const before = roller('before', -1, 0, 0.05, 'cw')
    const after = roller('after', 1, 0, 0.05, 'cw')
    const under = roller('measuring', 0, -0.2, 0.05, 'cw')
    expect(() => contactArc(before, under, after)).toThrow(/does not wrap roller measuring/)
  })
})
