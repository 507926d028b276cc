import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  decimalsFor,
  formatAge,
  formatDuration,
  formatFigure,
  formatNumber,
  formatPlain,
  formatRough,
  formatTrimmed,
} from '../../app/_ui/format.ts'
import { readUnitChoice } from '../../app/_ui/units.tsx'
import { SI_CHOICE, type UnitChoice } from '../../shared/unit-choice.ts'

const INCH_POUND: UnitChoice = { force: 'lbf', speed: 'ft/min', temperature: '°F', length: 'in' }
/** Text with ordinary spaces, so that expectations can be read. */
const plain = (text: string) => text.replaceAll('\u00a0', ' ').replaceAll('\u202f', '_')

describe('rounding to the uncertainty', () => {
  // JCGM 100:2008, 7.2.6: it usually suffices to quote uncertainties to at most two significant
  // digits; estimates are rounded to be consistent with them (its example: 10.057 62 Ω with
  // u = 27 mΩ is 10.058 Ω). From memory, no document seen.
  it('rounds as the example of the GUM', () => {
    const { value, U } = formatFigure(10.05762, 0.027, 'Ω', SI_CHOICE)
    expect([value, U]).toEqual(['10.058', '0.027'])
  })

  it.each([
    [206.4321, 2.134, '206.4 ± 2.1 N'],
    [206.4321, 9.96, '206 ± 10 N'],
    [206.4321, 0.0996, '206.43 ± 0.10 N'],
    [206.4321, 21.34, '206 ± 21 N'],
    [206.4321, 213.4, '206 ± 213 N'],
    [-0.04, 2.1, '0.0 ± 2.1 N'],
    [-3.25, 0.5, '−3.25 ± 0.50 N'],
  ])('shows %d with U %d as %s', (value, U, text) => {
    expect(plain(formatFigure(value, U, 'N', SI_CHOICE).text)).toBe(text)
  })

  it('shows two significant digits of any uncertainty from 10⁻⁴ to 99', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-4, max: 99, noNaN: true }), (U) => {
        const shown = Number(formatNumber(U, decimalsFor(U)))
        expect(Math.abs(shown - U) / U).toBeLessThanOrEqual(0.05 + 1e-9)
        expect(shown.toPrecision(2)).toBe(U.toPrecision(2))
      }),
    )
  })

  it('shows a value without uncertainty with four significant digits at most three decimals', () => {
    expect(formatFigure(0.123456, null, 'N', SI_CHOICE).value).toBe('0.123')
    expect(formatFigure(1234.5, null, 'N', SI_CHOICE).value).toBe('1235')
    expect(formatFigure(12.3456, null, 'N', SI_CHOICE).text).not.toContain('±')
  })
})

describe('a value whose uncertainty nobody knows', () => {
  it.each([
    [0, '0 N'],
    [-0.0004, '0.00 N'],
    [119.87, '120 N'],
    [-98.34, '−98.3 N'],
    [12345.6, '12_346 N'],
  ])('%d N is told as %s', (value, text) => expect(plain(formatRough(value, 'N', SI_CHOICE).text)).toBe(text))
})

describe('units', () => {
  it.each([
    // NIST SP 811 (2008), appendix B: 1 lbf = 4.448 222 N; 1 in = 25.4 mm; 1 ft = 0.3048 m; °F = °C × 9/5 + 32.
    [444.8222, 4.448222, 'N', '100.0 ± 1.0 lbf'],
    [0.0254, 0.00254, 'm', '1.00 ± 0.10 in'],
    [0.3048, 0.03048, 'm/s', '60.0 ± 6.0 ft/min'],
    [100, 1, '°C', '212.0 ± 1.8 °F'],
    [4.448222 / 0.0254, 4.448222 / 0.254, 'N/m', '1.00 ± 0.10 lbf/in'],
    [444.8222, 4.448222, 'N/h', '100.0 ± 1.0 lbf/h'],
    [2.5, 0.1, '%', '2.50 ± 0.10 %'],
  ])('shows %d ± %d %s as %s', (value, U, unit, text) => {
    expect(plain(formatFigure(value, U, unit, INCH_POUND).text)).toBe(text)
  })

  it('gives a span of temperature no offset', () => {
    expect(plain(formatPlain(5, '°C', INCH_POUND, true))).toBe('9 °F')
    expect(plain(formatPlain(5, '°C', INCH_POUND, false))).toBe('41 °F')
    expect(plain(formatPlain(5, '°C', SI_CHOICE, true))).toBe('5 K')
    expect(plain(formatPlain(5, '°C', SI_CHOICE, false))).toBe('5 °C')
    expect(plain(formatFigure(2.1, 0.5, '°C', SI_CHOICE, true).text)).toBe('2.10 ± 0.50 K')
    expect(plain(formatFigure(23.4, 0.5, '°C', SI_CHOICE).text)).toBe('23.40 ± 0.50 °C')
    expect(formatFigure(23.4, 0.5, '°C', SI_CHOICE).unitOfU).toBe('K')
    expect(formatFigure(23.4, 0.5, '°C', INCH_POUND).unitOfU).toBe('°F')
  })

  it('reads a remembered choice, and falls back for what is no unit of today', () => {
    expect(readUnitChoice('{"force":"lbf","length":"cubit"}')).toEqual({ ...SI_CHOICE, force: 'lbf' })
    for (const broken of [null, '', 'null', '[]', '{"force":3}', 'x']) expect(readUnitChoice(broken)).toEqual(SI_CHOICE)
  })
})

describe('numbers and times', () => {
  it('never shows a negative zero, uses the minus sign, groups from 10 000 on', () => {
    expect(formatNumber(-0.04, 1)).toBe('0.0')
    expect(formatNumber(-1.5, 1)).toBe('−1.5')
    expect(plain(formatNumber(1234567, 0))).toBe('1_234_567')
    expect(formatNumber(9999, 0)).toBe('9999')
  })

  it('trims zeros after the point only', () => {
    expect(formatTrimmed(10)).toBe('10')
    expect(formatTrimmed(0.3)).toBe('0.3')
    expect(formatTrimmed(100)).toBe('100')
  })

  it.each([
    [0.2, '0.2 s'],
    [9.96, '10 s'],
    [75, '1 min 15 s'],
  ])('tells an age of %d s as %s', (seconds, text) => expect(plain(formatAge(seconds))).toBe(text))

  it.each([
    [40, '40 s'],
    [59.7, '1 min'],
    [252, '4 min 12 s'],
    [11_100, '3 h 5 min'],
    [7200, '2 h'],
  ])('tells %d s as %s', (seconds, text) => expect(plain(formatDuration(seconds))).toBe(text))
})
