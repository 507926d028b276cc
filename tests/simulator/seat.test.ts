import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type EndFit, soundFit } from '../../simulator/physics/fit.ts'
import { RandomStream } from '../../simulator/physics/random.ts'
import { Seat } from '../../simulator/physics/seat.ts'

const end = (change: Partial<EndFit>): EndFit => ({ ...soundFit().ends.drive_side, ...change })
const seatOf = (seed = 1) => new Seat(new RandomStream(seed, 'seat'))

describe('the seat of a cell', () => {
  it('hands on every force as it is when nothing binds and nothing is loose', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -1e4, max: 1e4, noNaN: true }), { minLength: 1 }), (forces) => {
        const seat = seatOf()
        // A zero has no sign as a force.
        for (const force of forces) expect(seat.step(force, end({}), null) + 0).toBe(force + 0)
      }),
    )
  })

  it('a bound cell reads low by its share, and twice its friction apart going up and coming down', () => {
    const seat = seatOf()
    const bound = end({ bindShare: 0.2, bindFriction: 3 })
    const read = (force: number) => seat.step(force, bound, null)
    read(0)
    const up = [50, 100, 150].map(read)
    const down = [100, 50, 0].map(read)
    // 0.8 F ∓ 3 N.
    expect(up).toEqual([37, 77, 117])
    expect(down).toEqual([83, 43, 3])
  })

  it('a loose end sits anew after each load and keeps its seat while nothing moves', () => {
    const seat = seatOf()
    const loose = end({ looseness: 2 })
    const loaded: number[] = []
    for (let i = 0; i < 400; i++) {
      seat.step(0, loose, null)
      loaded.push(seat.step(100, loose, null) - 100)
      expect(seat.step(100, loose, null) - 100).toBe(loaded.at(-1))
    }
    const mean = loaded.reduce((a, b) => a + b) / loaded.length
    const sigma = Math.sqrt(loaded.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (loaded.length - 1))
    expect(Math.abs(sigma / 2 - 1)).toBeLessThan(0.15)
  })

  it('a loose end rattles once per turn while the roller turns', () => {
    const seat = seatOf()
    const half = (angle: number) => seat.step(100, end({ looseness: 2 }), angle)
    // 0.3 of the looseness, one way in the first half turn and the other in the second.
    expect(half(1) - half(4)).toBeCloseTo(2 * 0.3 * 2, 9)
  })
})
