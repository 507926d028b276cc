import { describe, expect, it } from 'vitest'
import { forcePerKilogram } from '../../lib/calibration/known-force.ts'
import { ropeFactor, ropeWrap } from '../../lib/calibration/rope.ts'
import { wrapOf } from '../../lib/geometry/wrap.ts'

const setUp = {
  gravity: { value: 9.81, u: 0.0005 },
  factor: { value: Math.SQRT2, u: 0.01 },
  share: { value: 0.5, u: 0.001 },
  uMassRelative: 1e-4,
  airShare: 1.5e-4,
}

describe('force from a hung weight', () => {
  it('20 kg over a right angle at g = 9.81: 277.4 N along both arrows, half of it on each', () => {
    // By hand: 20 · 9.81 · 2 sin 45° · (1 − 0.00015) / 2.
    expect(20 * forcePerKilogram(setUp).newtons).toBeCloseTo((20 * 9.81 * Math.SQRT2 * 0.99985) / 2, 9)
  })

  it('each input moves the force by its own relative uncertainty', () => {
    const relative = Object.fromEntries(forcePerKilogram(setUp).contributions.map((c) => [c.name, c.relative]))
    expect(relative['mass of the weights']).toBe(1e-4)
    expect(relative['local gravity']).toBeCloseTo(0.0005 / 9.81, 12)
    expect(relative['force factor of the rope']).toBeCloseTo(0.01 / Math.SQRT2, 12)
    expect(relative['share of this cell']).toBeCloseTo(0.002, 12)
  })

  it('a factor, share or gravity of 0 lets no force through and is refused', () => {
    for (const key of ['gravity', 'factor', 'share'] as const)
      expect(() => forcePerKilogram({ ...setUp, [key]: { value: 0, u: 0 } })).toThrow(RangeError)
  })
})

describe('force factor of the rope', () => {
  it('2 sin(θ/2) cos δ, its uncertainty by finite difference', () => {
    const k = ropeFactor({ value: 1.2, u: 1e-6 }, { value: 0.1, u: 0 })
    expect(k.value).toBeCloseTo(2 * Math.sin(0.6) * Math.cos(0.1), 14)
    const step = 2 * Math.cos(0.1) * (Math.sin(0.6 + 2.5e-7) - Math.sin(0.6 - 2.5e-7))
    expect(k.u / step).toBeCloseTo(1, 6)
  })

  it('with the arrow on the bisector δ counts by its square: the standard deviation of 1 − cos δ', () => {
    // For δ normal of u = 0.05: Var(δ²/2) = u⁴/2.
    expect(ropeFactor({ value: Math.PI, u: 0 }, { value: 0, u: 0.05 }).u).toBeCloseTo((2 * 0.05 ** 2) / Math.SQRT2, 12)
  })

  it("the rope's own centre line: with a crossed span a thick rope wraps otherwise than the web", () => {
    const roller = (name: string, x: number, y: number, turn: 1 | -1) => ({
      name,
      centre: { x, y },
      radius: 0.05,
      turn,
    })
    const trio = [roller('a', -0.5, -0.3, 1), roller('b', 0, 0, -1), roller('c', 0.5, -0.3, -1)] as const
    const web = wrapOf(...trio).angle
    expect(ropeWrap(...trio, 0).angle).toBeCloseTo(web, 14)
    // Crossed span between centres D apart: its tilt is asin((r₁ + r₂)/D); the rope adds its diameter to the sum.
    const D = Math.hypot(0.5, 0.3)
    const tilt = (sum: number) => Math.asin(sum / D)
    expect(Math.abs(ropeWrap(...trio, 0.02).angle - web)).toBeCloseTo(tilt(0.12) - tilt(0.1), 12)
  })
})
