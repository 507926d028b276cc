import { describe, expect, it } from 'vitest'
import { floodFigure } from '../../lib/alarms/flood.ts'

/**
 * ANSI/ISA-18.2, average alarm rate: about 1 alarm per 10 min and operator acceptable, 2 manageable (V2). More than 10
 * in 10 min begins a flood (M). The words `demanding` (between the two) and `flood` are for these ranges.
 */
const NOW = 10_000_000
const at = (count: number) => Array.from({ length: count }, (_, i) => NOW - i * 1000)
const level = (count: number, positions = 1) => floodFigure(at(count), NOW, positions, 0).level

describe('the rate of alarms against the published figures', () => {
  it('1 in 10 min is acceptable, 2 manageable, more is demanding, more than 10 a flood', () => {
    expect([0, 1, 2, 3, 10, 11].map((n) => level(n))).toEqual([
      'acceptable',
      'acceptable',
      'manageable',
      'demanding',
      'demanding',
      'flood',
    ])
  })

  it('counts for each operator position', () => expect([level(4, 2), level(21, 2)]).toEqual(['manageable', 'flood']))

  it('forgets what is 10 min old', () => {
    expect(floodFigure([NOW - 600_000, NOW - 599_999], NOW, 1, 0).announced).toBe(1)
  })

  it('says over what time it counted when that was shorter', () => {
    expect(floodFigure([], NOW, 1, NOW - 90_000).windowMs).toBe(90_000)
    expect(floodFigure([], NOW, 1, 0).windowMs).toBe(600_000)
  })
})
