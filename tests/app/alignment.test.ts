import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ClockAlignment } from '../../app/_stream/alignment.ts'

describe('ClockAlignment', () => {
  it('knows no time before the first message', () => {
    expect(new ClockAlignment().gatewayNow(1000)).toBeNull()
  })

  it('never makes a sample older than it is, and errs by no more than the least delay', () => {
    const delays = fc.array(fc.integer({ min: 0, max: 2000 }), { minLength: 1, maxLength: 60 })
    fc.assert(
      fc.property(delays, (travelled) => {
        const alignment = new ClockAlignment()
        let sentMs = 0
        let localMs = 0
        for (const delay of travelled) {
          sentMs = 1_700_000_000_000 + localMs
          alignment.note(sentMs, localMs + delay)
          localMs += 2500
        }
        const truth = 1_700_000_000_000 + localMs
        const told = alignment.gatewayNow(localMs) ?? Number.NaN
        expect(truth - told).toBeGreaterThanOrEqual(0)
        expect(truth - told).toBeLessThanOrEqual(Math.min(...travelled) + 1e-3)
      }),
    )
  })

  it('forgets what came before it was cleared', () => {
    const alignment = new ClockAlignment()
    alignment.note(5, 0)
    alignment.clear()
    expect(alignment.gatewayNow(0)).toBeNull()
  })
})
