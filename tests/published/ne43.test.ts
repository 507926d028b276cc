import { describe, expect, it } from 'vitest'
import { ne43Code } from '../../lib/quality/ne43.ts'

/**
 * Source: NAMUR NE 43: measurement information from 3.8 to 20.5 mA, failure information at or
 * under 3.6 mA and at or over 21 mA. Status V2: read in documents that quote the recommendation.
 */
describe('NE 43 bands of a 4–20 mA signal', () => {
  it.each([
    [0, 'wire-break'],
    [3.59, 'wire-break'],
    [3.6, 'wire-break'],
    [3.61, 'saturated'],
    [3.79, 'saturated'],
    [3.8, 'good'],
    [4, 'good'],
    [12, 'good'],
    [20, 'good'],
    [20.5, 'good'],
    [20.51, 'saturated'],
    [20.99, 'saturated'],
    [21, 'short-circuit'],
    [22.5, 'short-circuit'],
  ] as const)('%f mA is %s', (milliampere, code) => {
    expect(ne43Code(milliampere)).toBe(code)
  })

  it('an edge that a 16-bit converter rounds by less than 1 nA stays on the side of the standard', () => {
    expect(ne43Code(3.6 + 1e-9)).toBe('wire-break')
    expect(ne43Code(3.8 - 1e-9)).toBe('good')
    expect(ne43Code(21 - 1e-9)).toBe('short-circuit')
  })
})
