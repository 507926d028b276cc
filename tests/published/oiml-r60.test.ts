import { describe, expect, it } from 'vitest'
import { creep } from '../../lib/calibration/creep.ts'
import type { CalibrationOutcome } from '../../lib/calibration/figure.ts'
import { permittedCreep } from '../../lib/calibration/oiml-r60.ts'

/**
 * OIML R 60 (metrological regulation for load cells), read in a document that quotes it (V2): table 4 gives the largest
 * permissible error of class C as p_LC × 1.5 v above 2000 v with p_LC = 0.7; creep within 30 min may be 0.7 of it,
 * creep from 20 to 30 min 0.15 of it. For a cell of class C3, 3000 verification intervals v, at its full load that
 * is 0.735 v and 0.1575 v.
 */
const INTERVALS = 3000
const MPE = 0.7 * 1.5
const LIMITS = { thirtyMinutes: 0.735, lastTenMinutes: 0.1575 }

/** A cell that creeps exactly to both limits: readings in v, from 10 s after loading on. */
const hold = {
  seconds: [10, 30, 300, 1200, 1800],
  readings: [
    INTERVALS,
    INTERVALS,
    INTERVALS + 0.3,
    INTERVALS + LIMITS.thirtyMinutes - LIMITS.lastTenMinutes,
    INTERVALS + LIMITS.thirtyMinutes,
  ],
}

function told(outcome: CalibrationOutcome): number {
  if (outcome.kind === 'cannot') throw new Error(outcome.why)
  return outcome.quantity.value
}

describe('creep by the terms of OIML R 60', () => {
  const found = creep(hold, INTERVALS)

  it('knows the limits of the document as shares of the permissible error', () => {
    expect(0.7 * MPE).toBeCloseTo(LIMITS.thirtyMinutes, 12)
    expect(0.15 * MPE).toBeCloseTo(LIMITS.lastTenMinutes, 12)
  })
  it('tells a C3 cell at its limit within 30 min as 0.735 v of 3000 v: 0.0245 % of span', () => {
    expect(told(found.thirtyMinutes)).toBeCloseTo((100 * 0.735) / 3000, 9)
  })
  it('tells the same cell from 20 to 30 min as 0.1575 v of 3000 v: 0.00525 % of span', () => {
    expect(told(found.lastTenMinutes)).toBeCloseTo((100 * 0.1575) / 3000, 9)
  })

  it.each([
    ['C', 3000, 1, LIMITS.thirtyMinutes, LIMITS.lastTenMinutes],
    // Table 4, class C: 0.5 v up to 500 v, 1.0 v up to 2000 v; class D: 0.5 v up to 50 v, 1.0 v up to 200 v.
    ['C', 3000, 500 / 3000, 0.7 * 0.7 * 0.5, 0.15 * 0.7 * 0.5],
    ['C', 3000, 501 / 3000, 0.7 * 0.7, 0.15 * 0.7],
    ['C', 1000, 1, 0.7 * 0.7, 0.15 * 0.7],
    ['D', 1000, 0.05, 0.7 * 0.7 * 0.5, 0.15 * 0.7 * 0.5],
    ['D', 1000, 0.2, 0.7 * 0.7, 0.15 * 0.7],
    ['D', 1000, 0.5, LIMITS.thirtyMinutes, LIMITS.lastTenMinutes],
  ] as const)(
    'permits class %s of %i intervals at %f of capacity %f v and %f v',
    (letter, intervals, load, within, last) => {
      const permitted = permittedCreep({ letter, intervals }, -load * intervals, intervals)
      expect(permitted.thirtyMinutes).toBeCloseTo(within, 12)
      expect(permitted.lastTenMinutes).toBeCloseTo(last, 12)
    },
  )
})
