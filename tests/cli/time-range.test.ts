import { describe, expect, test } from 'vitest'
import { rangeOf } from '../../gateway/cli/time-range.ts'

const NOW = Date.UTC(2026, 2, 2, 12)

describe('a range of time on the command line', () => {
  test('is a span before its end, or a begin with or without an offset from UTC', () => {
    expect(rangeOf({ last: '8h' }, NOW)).toEqual({ fromMs: NOW - 8 * 3_600_000, toMs: NOW })
    expect(rangeOf({ from: '2026-03-02T06:00+01:00' }, NOW).fromMs).toBe(Date.UTC(2026, 2, 2, 5))
    expect(rangeOf({ from: '2026-03-02 06:00', to: '2026-03-02T07:00Z' }, NOW)).toEqual({
      fromMs: Date.UTC(2026, 2, 2, 6),
      toMs: Date.UTC(2026, 2, 2, 7),
    })
  })

  test('whose span goes back before all recording means everything, and always begins at a time', () => {
    for (const last of ['99999d', '99999999999999d']) expect(rangeOf({ last }, NOW)).toEqual({ fromMs: 0, toMs: NOW })
  })

  test('that ends before it begins, or is given twice or not at all, is refused', () => {
    expect(() => rangeOf({ from: '2026-03-02T06:00', to: '2026-03-01T06:00' }, NOW)).toThrow('ends before it begins')
    expect(() => rangeOf({ from: '2026-03-02T06:00', last: '8h' }, NOW)).toThrow('one of --from and --last')
    expect(() => rangeOf({}, NOW)).toThrow('one of --from and --last')
    for (const last of ['8', '0h', '-8h', '1,5h'])
      expect(() => rangeOf({ last }, NOW)).toThrow('--last: expected a span')
  })
})
