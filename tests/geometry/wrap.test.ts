import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ImpossiblePath, type PathFault } from '../../lib/geometry/path-fault.ts'
import { type Roller, spanBetween } from '../../lib/geometry/tangent.ts'
import { dot, length, quarterTurn, radians, signedAngle, subtract, times } from '../../lib/geometry/vector.ts'
import { spanClearance, wrapOf } from '../../lib/geometry/wrap.ts'

const roller = (name: string, x: number, y: number, radius: number, turn: 1 | -1): Roller => ({
  name,
  centre: { x, y },
  radius,
  turn,
})

function faultOf(make: () => unknown): PathFault {
  try {
    make()
  } catch (error) {
    if (error instanceof ImpossiblePath) return error.fault
    throw error
  }
  throw new Error('the web runs')
}

describe('span between two rollers', () => {
  const turn = fc.constantFrom<1 | -1>(1, -1)
  const pairs = fc
    .record({
      r1: fc.double({ min: 0.01, max: 0.5, noNaN: true }),
      r2: fc.double({ min: 0.01, max: 0.5, noNaN: true }),
      gap: fc.double({ min: 0.001, max: 3, noNaN: true }),
      at: fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }),
      t1: turn,
      t2: turn,
    })
    .map(({ r1, r2, gap, at, t1, t2 }) => {
      const d = r1 + r2 + gap
      return [roller('a', 1, -2, r1, t1), roller('b', 1 + d * Math.cos(at), -2 + d * Math.sin(at), r2, t2)] as const
    })
  it('touches both circles and runs the way both surfaces move', () => {
    fc.assert(
      fc.property(pairs, ([a, b]) => {
        const { from, to, direction, length: long } = spanBetween(a, b)
        for (const [contact, { centre, radius, turn: way }] of [
          [from, a],
          [to, b],
        ] as const) {
          const outward = subtract(contact, centre)
          expect(length(outward)).toBeCloseTo(radius, 12)
          expect(dot(direction, times(quarterTurn(outward), way / radius))).toBeCloseTo(1, 12)
        }
        expect(length(subtract(to, from))).toBeCloseTo(long, 9)
      }),
    )
  })
  it('rollers that touch make a nip; rollers that overlap are refused by name', () => {
    expect(spanBetween(roller('a', 0, 0, 0.1, 1), roller('b', 0.2, 0, 0.1, -1)).length).toBeCloseTo(0, 9)
    expect(faultOf(() => spanBetween(roller('infeed', 0, 0, 0.1, 1), roller('idler', 0.19, 0, 0.1, 1)))).toEqual({
      kind: 'rollers-overlap',
      from: 'infeed',
      to: 'idler',
      overlap: expect.closeTo(0.01, 12),
    })
    expect(() => spanBetween(roller('infeed', 0, 0, 0.1, 1), roller('idler', 0.19, 0, 0.1, -1))).toThrow(
      'no web path from infeed to idler: they overlap by 10.0 mm',
    )
  })
  it.each([Number.NaN, 0, -0.1, Number.POSITIVE_INFINITY])('a radius of %d is no circle', (radius) => {
    expect(faultOf(() => spanBetween(roller('a', 0, 0, 0.1, 1), roller('b', 1, 0, radius, 1)))).toEqual({
      kind: 'no-circle',
      roller: 'b',
    })
  })
})

describe('wrap of the measuring roller', () => {
  const middle = roller('measuring', 0, 0, 0.05, -1)
  it('web over the top, leaving straight down: 90°, pulling down and upstream', () => {
    const wrap = wrapOf(roller('before', -1, 0, 0.05, -1), middle, roller('after', 0, -1, 0.05, -1))
    expect(wrap.angle).toBeCloseTo(Math.PI / 2, 12)
    expect(wrap.bisector).toBeCloseTo(radians(-135), 12)
    expect(length(wrap.pull)).toBeCloseTo(Math.SQRT2, 12)
  })
  it('a web that passes straight by does not touch', () => {
    const fault = faultOf(() => wrapOf(roller('before', -1, 0, 0.05, -1), middle, roller('after', 1, 0, 0.05, -1)))
    expect(fault).toEqual({ kind: 'no-wrap', roller: 'measuring' })
  })
  it('a roller that lies off the web on this side wraps the wrong way, with the angle it would take', () => {
    const fault = faultOf(() => wrapOf(roller('before', -1, 0.1, 0.05, -1), middle, roller('after', 1, 0.1, 0.05, -1)))
    expect(fault.kind).toBe('wraps-wrong-way')
    expect('wrap' in fault ? fault.wrap : 0).toBeGreaterThan(radians(330))
  })
  it('a web that bends far the wrong way would cross itself', () => {
    const fault = faultOf(() => wrapOf(roller('before', -1, 1, 0.05, -1), middle, roller('after', 1, 1, 0.05, -1)))
    expect(fault).toMatchObject({ kind: 'crosses-itself', roller: 'measuring' })
  })
  it('more than half a turn is fine where the neighbours stand close enough', () => {
    const wrap = wrapOf(roller('before', -0.07, -0.12, 0.06, 1), middle, roller('after', 0.07, -0.12, 0.06, 1))
    expect(wrap.angle).toBeGreaterThan(Math.PI)
    expect(wrap.bisector).toBeCloseTo(radians(-90), 9)
  })
  it('mirrors and turns with the layout', () => {
    const angle = fc.double({ min: -3, max: 3, noNaN: true })
    fc.assert(
      fc.property(angle, angle, angle, (a, b, by) => {
        const at = (name: string, phi: number, turn: 1 | -1) => roller(name, Math.cos(phi), Math.sin(phi), 0.1, turn)
        const trio = (turned: number, mirror: 1 | -1) =>
          wrapOf(
            at('before', mirror * a + turned, mirror),
            { ...middle, turn: mirror === 1 ? -1 : 1 },
            at('after', mirror * b + turned, mirror),
          )
        let straight: ReturnType<typeof trio>
        try {
          straight = trio(0, 1)
        } catch (error) {
          fc.pre(!(error instanceof ImpossiblePath))
          throw error
        }
        const turned = trio(by, 1)
        expect(turned.angle).toBeCloseTo(straight.angle, 9)
        expect(signedAngle(turned.bisector - straight.bisector - by)).toBeCloseTo(0, 9)
        const mirrored = trio(0, -1)
        expect(mirrored.angle).toBeCloseTo(straight.angle, 9)
        expect(signedAngle(mirrored.bisector + straight.bisector)).toBeCloseTo(0, 9)
      }),
    )
  })
  it('a span that runs through another roller has negative clearance', () => {
    const span = spanBetween(roller('a', -1, 0, 0.1, 1), roller('b', 1, 0, 0.1, 1))
    expect(spanClearance(span, roller('c', 0, 0, 0.05, 1))).toBeCloseTo(0.05, 12)
    expect(spanClearance(span, roller('c', 0, -0.1, 0.05, 1))).toBeCloseTo(-0.05, 12)
    expect(spanClearance(span, roller('c', 3, -0.1, 0.05, 1))).toBeCloseTo(1.95, 12)
  })
})
