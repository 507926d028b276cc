import { describe, expect, it } from 'vitest'
import { fromSi, toSi } from '../../shared/units.ts'

/**
 * Source: NIST SP 811 (2008), appendix B.8 conversion factors (given there to seven digits; exact
 * ones marked E). From memory of that table: no copy was at hand when this was written.
 */
const SP811 = [
  ['force', 1, 'lbf', 4.448222],
  ['force', 1, 'kgf', 9.80665],
  ['speed', 1, 'ft/min', 0.00508],
  ['length', 1, 'in', 0.0254],
  ['length', 1, 'ft', 0.3048],
  ['tensionPerWidth', 1, 'lbf/in', 175.1268],
  ['temperature', 212, '°F', 100],
  ['temperature', -40, '°F', -40],
] as const

describe('conversion factors of NIST SP 811', () => {
  it.each(SP811)('%s: %f %s is %f in SI, to the digits printed', (kind, value, unit, si) => {
    expect(Number(toSi(kind, value, unit).toPrecision(7))).toBe(si)
    expect(fromSi(kind, toSi(kind, value, unit), unit)).toBeCloseTo(value, 12)
  })
})
