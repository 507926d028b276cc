import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { movementOf } from '../../../lib/verification/evidence/movement.ts'
import { normal } from '../../statistics/noise-sources.ts'
import { FROM_MS } from '../support/made-rows.ts'

const RATE_HZ = 100

/** Good samples of a signal over so many seconds, the first `late` seconds after the begin of the capture. */
const signal = (seconds: number, of: (s: number) => number, late = 0) => {
  const at = Array.from({ length: Math.round((seconds - late) * RATE_HZ) }, (_, i) => late + i / RATE_HZ)
  return { tMs: at.map((s) => FROM_MS + 1000 * s), values: at.map(of), raws: at.map(of) }
}
const moved = (seconds: number, of: (s: number) => number, { stepN = 0, late = 0 } = {}) =>
  movementOf(signal(seconds, of, late), FROM_MS, stepN)

/** A step through a first-order filter. */
const lagged = (by: number, at: number, tau: number) => (s: number) =>
  s < at ? 0 : by * (1 - Math.exp(-(s - at) / tau))

describe('movementOf', () => {
  // First-order response: half at τ ln 2, 10 to 90 % in τ ln 9 (any control text; M).
  it('tells size, middle and rise of a step through a filter, up or down, whatever the noise', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(-80, -20, 15, 120),
        fc.double({ min: 0.08, max: 1, noNaN: true }),
        fc.double({ min: 3, max: 6, noNaN: true }),
        fc.nat(10_000),
        (by, tau, at, seed) => {
          const next = normal(seed)
          const step = lagged(by, at, tau)
          const told = moved(20, (s) => 40 + step(s) + 0.1 * next())
          expect(told).not.toBeNull()
          expect(told?.by.value).toBeGreaterThan(Math.min(0.985 * by, 1.015 * by))
          expect(told?.by.value).toBeLessThan(Math.max(0.985 * by, 1.015 * by))
          expect(told?.atS).toBeGreaterThan(at + tau * Math.LN2 - 0.04)
          expect(told?.atS).toBeLessThan(at + tau * Math.LN2 + 0.04)
          const rise = tau * Math.log(9)
          expect(told?.riseS).toBeGreaterThan(0.88 * rise - 0.02)
          expect(told?.riseS).toBeLessThan(1.12 * rise + 0.02)
        },
      ),
      { numRuns: 60 },
    )
  })

  it('a push that is held and let go is as large as while it was held', () => {
    const next = normal(2)
    const told = moved(8, (s) => 12 + (s > 2.5 && s < 5.5 ? -30 : 0) + 0.05 * next())
    expect(told?.by.value).toBeGreaterThan(-30.2)
    expect(told?.by.value).toBeLessThan(-29.8)
    expect(told?.atS).toBeGreaterThan(2.4)
    expect(told?.atS).toBeLessThan(2.6)
  })

  it('a jump is faster than can be told: its rise is not told', () => {
    expect(moved(10, (s) => (s < 4 ? 0 : 50))?.riseS).toBeNull()
  })

  it('a side that was bad at first is told on the same clock as the other', () => {
    const step = lagged(50, 4, 0.2)
    const [whole, late] = [moved(12, step), moved(12, step, { late: 1.5 })]
    expect(Math.abs((late?.atS ?? 0) - (whole?.atS ?? 1))).toBeLessThan(0.02)
  })

  it('noise alone is no movement, in a hundred captures', () => {
    for (let seed = 1; seed <= 100; seed += 1) {
      const next = normal(seed)
      expect(
        moved(8, () => 20 + next()),
        `seed ${seed}`,
      ).toBeNull()
    }
  })

  it('a coarse signal that changes by one of its steps has not moved; by many it has', () => {
    const flicker = (steps: number) => moved(8, (s) => 20 + (s > 4 ? 0.5 * steps : 0), { stepN: 0.5 })
    expect(flicker(1)).toBeNull()
    expect(flicker(10)?.by.value).toBe(5)
  })

  it('a signal that stands still, or has too few samples to say, has not moved', () => {
    expect(moved(8, () => 20)).toBeNull()
    expect(moved(0.1, (s) => 100 * s)).toBeNull()
    expect(movementOf({ tMs: [], values: [], raws: [] }, FROM_MS, 0)).toBeNull()
  })
})
