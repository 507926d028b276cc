import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { markedFigure, readersSentence } from '../../lib/texts/reader-numbers.ts'

const comma = { mark: ',' } as const
const imperial = { mark: '.', force: 'lbf', speed: 'ft/min', length: 'in' } as const

describe('Numbers of a sentence', () => {
  it.each([
    ['The mean is 206.4 ± 2.1 N.', 'The mean is 206,4 ± 2,1 N.'],
    ['5.5 to 6.5 mA', '5,5 to 6,5 mA'],
    ['in the spirit of JCGM 106, 8.3; limit 0.5 %', 'in the spirit of JCGM 106, 8.3; limit 0,5 %'],
    ['device at 192.0.2.10:502 took 1.5 s', 'device at 192.0.2.10:502 took 1,5 s'],
    ['version 1.2.3', 'version 1.2.3'],
    ['level to 0.03 mm/m, slope 0.5 mV/V/N', 'level to 0,03 mm/m, slope 0,5 mV/V/N'],
  ])('take the decimal comma where a unit says that they are measured: %s', (text, expected) => {
    expect(readersSentence(text, comma).replaceAll('\u00a0', ' ')).toBe(expected)
  })

  it.each([
    // 1 lbf = 4.4482216 N, 1 in = 25.4 mm (NIST SP 811, appendix B.8), 1 ft = 0.3048 m.
    ['under 44.482 N', 'under 10 lbf'],
    ['20 to 500 N', '4.5 to 112 lbf'],
    ['-4.45 ± 0.45 N', '−1 ± 0.101 lbf'],
    ['175.13 N/m of width', '1 lbf/in of width'],
    ['at 100 m/min', 'at 328 ft/min'],
    ['a gap of 25.4 mm', 'a gap of 1 in'],
    ['6 N·m and 3 N/mm stay', '6 N·m and 3 N/mm stay'],
    ['a rise of 5 °C stays', 'a rise of 5 °C stays'],
    ['E-24.5 N-type', 'E-24.5 N-type'],
  ])('are converted into the units of the reader: %s', (text, expected) => {
    expect(readersSentence(text, imperial).replaceAll('\u00a0', ' ')).toBe(expected)
  })

  it('keep three digits or as many as were told when they are converted', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 99_999, noNaN: true }), (newtons) => {
        const told = newtons.toPrecision(4)
        fc.pre(!told.includes('e'))
        const shown = Number(/^([\d.]+)/.exec(readersSentence(`${told} N`, imperial))?.[1])
        const exact = Number(told) / 4.4482216152605
        expect(Math.abs(shown - exact) / exact).toBeLessThan(0.005)
      }),
    )
  })
})

describe('A bare figure', () => {
  it('changes its mark, an address and a date do not', () => {
    expect(markedFigure('206.4 ± 2.1', comma)).toBe('206,4 ± 2,1')
    expect(markedFigure('192.0.2.10', comma)).toBe('192.0.2.10')
    expect(markedFigure('2026-03-09', comma)).toBe('2026-03-09')
    expect(markedFigure('206.4', { mark: '.' })).toBe('206.4')
  })
})
