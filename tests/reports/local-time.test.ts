import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { timeWordsIn } from '../../gateway/local-time.ts'

describe('a time in the words of the line’s clock', () => {
  // Rules of the IANA time zone database: summer time in central Europe ended on 2025-10-26 at 01:00 UTC; Nepal is UTC+05:45.
  it.each([
    ['UTC', '2026-03-09T14:03:22Z', '2026-03-09 14:03:22 UTC'],
    ['Europe/Berlin', '2025-10-26T00:59:59Z', '2025-10-26 02:59:59 UTC+02:00'],
    ['Europe/Berlin', '2025-10-26T01:00:00Z', '2025-10-26 02:00:00 UTC+01:00'],
    ['Asia/Kathmandu', '2026-01-01T18:15:00Z', '2026-01-02 00:00:00 UTC+05:45'],
    ['America/St_Johns', '2026-01-01T03:29:59Z', '2025-12-31 23:59:59 UTC-03:30'],
  ])('%s, %s: %s', (timeZone, iso, words) => {
    expect(timeWordsIn(timeZone)(Date.parse(iso))).toBe(words)
  })

  it('is the same instant again when it is read back, to the second', () => {
    const words = fc.constantFrom('UTC', 'Europe/Berlin', 'America/St_Johns', 'Asia/Kathmandu', 'Pacific/Chatham')
    const seconds = fc.integer({ min: Date.UTC(1990, 0) / 1000, max: Date.UTC(2060, 0) / 1000 })
    fc.assert(
      fc.property(words, seconds, (timeZone, s) => {
        const [day, time, offset] = timeWordsIn(timeZone)(1000 * s).split(' ')
        expect(Date.parse(`${day}T${time}${offset?.replace('UTC', '') || 'Z'}`)).toBe(1000 * s)
      }),
    )
  })
})
