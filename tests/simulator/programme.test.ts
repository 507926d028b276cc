import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { commandAt, type Programme } from '../../simulator/physics/programme.ts'

const programme: Programme = {
  startSpeed: 0,
  setTension: { web: 100 },
  repeat: true,
  stages: [
    { seconds: 10, speed: 4, setTension: { web: 250 } },
    { seconds: 50, speed: 4 },
    { seconds: 10, speed: 0, setTension: { web: 120 } },
    { seconds: 5, speed: 0, slack: true },
  ],
}

describe('programme', () => {
  it('ramps along an S-curve: half way at half time, level at both ends', () => {
    expect(commandAt(programme, 5).speed).toBeCloseTo(2, 12)
    expect(commandAt(programme, 0.001).speed).toBeLessThan(1e-6)
    expect(commandAt(programme, 10).speed).toBe(4)
  })

  it('a set tension holds until the next one; slack lasts for its stage only', () => {
    expect(commandAt(programme, 30)).toMatchObject({ setTension: { web: 250 }, slack: false })
    expect(commandAt(programme, 72)).toMatchObject({ setTension: { web: 120 }, slack: true })
    expect(commandAt(programme, 76)).toMatchObject({ setTension: { web: 250 }, slack: false })
  })

  it('without repeat its end is held', () => {
    const once = { ...programme, repeat: false }
    expect(commandAt(once, 1e6)).toEqual({ speed: 0, setTension: { web: 120 }, slack: true })
  })

  it('speed has no jump anywhere, over the seam of a repeat too', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 400, noNaN: true }), (time) => {
        const change = Math.abs(commandAt(programme, time + 1e-3).speed - commandAt(programme, time).speed)
        // Steepest slope of the S-curve is 1.5 Δv/Δt = 0.6 m/s².
        expect(change).toBeLessThanOrEqual(0.6e-3 + 1e-9)
      }),
    )
  })

  it('a repeating programme without a length is refused', () => {
    expect(() => commandAt({ ...programme, stages: [] }, 1)).toThrow(/needs a length/)
  })
})
