import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { rateLimit } from '../../gateway/http/rate-limit.ts'

describe('rateLimit', () => {
  it('allows as many at once as a second holds, then one as each becomes due', () => {
    const allowed = rateLimit(4)
    expect([0, 0, 0, 0, 0].map((ms) => allowed('a', ms))).toEqual([true, true, true, true, false])
    expect([250, 250, 499, 500].map((ms) => allowed('a', ms))).toEqual([true, false, false, true])
  })

  it('counts each client by itself', () => {
    const allowed = rateLimit(1)
    expect([allowed('a', 0), allowed('b', 0), allowed('a', 0)]).toEqual([true, true, false])
  })

  it('refuses newcomers rather than remember clients without end, until the old ones are done', () => {
    const allowed = rateLimit(1)
    for (let i = 0; i < 1000; i++) allowed(`client ${i}`, 0)
    expect(allowed('one more', 0)).toBe(false)
    expect(allowed('one more', 2000)).toBe(true)
  })

  it('whatever the times, never allows more than burst and rate together', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 300 }), { maxLength: 100 }), (gaps) => {
        const allowed = rateLimit(4)
        let ms = 0
        let count = 0
        for (const gap of gaps) {
          ms += gap
          if (allowed('a', ms)) count++
        }
        expect(count).toBeLessThanOrEqual(4 + (ms / 1000) * 4 + 1e-9)
      }),
    )
  })
})
