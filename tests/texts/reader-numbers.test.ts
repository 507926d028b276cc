import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { markedFigure, readersSentence } from '../../lib/texts/reader-numbers.ts'

const comma = { mark: ',' } as const
const imperial = { mark: '.', force: 'lbf', speed: 'ft/min', length: 'in', temperature: '°F' } as const
const shown = (text: string, choice: Parameters<typeof readersSentence>[1] = imperial) =>
  readersSentence(text, choice).replaceAll('\u00a0', ' ')

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
    ['-4.45 ± 0.45 N', '−1.00 ± 0.10 lbf'],
    ['175.13 N/m of width', '1 lbf/in of width'],
    ['at 100 m/min', 'at 328 ft/min'],
    ['a gap of 25.4 mm', 'a gap of 1 in'],
    // 1 lbf/in = 175.1268 N/m (NIST SP 811, B.8).
    ['6 N·m stay, 3 N/mm do not', '6 N·m stay, 17.1 lbf/in do not'],
    ['cells 1.6 m apart', 'cells 63 in apart'],
    ['1.2 kN', '270 lbf'],
    // 1 mm/m = 0.012 in/ft: 12 in to the foot.
    ['out of level 0.2 mm/m', 'out of level 0.0024 in/ft'],
    ['6.963 ± 0.074 N/mA', '1.565 ± 0.017 lbf/mA'],
    ['slope 0.00366 mV/V/N', 'slope 0.0163 mV/V/lbf'],
    ['249.9 ± 2.5 N/mV/V', '56.18 ± 0.56 lbf/mV/V'],
    // 1 ft/s² = 0.3048 m/s² (NIST SP 811, B.8).
    ['gravity 9.8066 ± 0.0010 m/s²', 'gravity 32.1739 ± 0.0033 ft/s²'],
    ['1e-7 N and 6.05e-5 N', '2.25e-8 lbf and 0.0000136 lbf'],
    ['5 kg and 20 mA stay', '5 kg and 20 mA stay'],
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

describe('A temperature in a sentence', () => {
  it.each([
    // Fixed points: 0 °C = 32 °F, 100 °C = 212 °F, −40 °C = −40 °F; t/°F = 1.8 t/°C + 32 (NIST SP 811 (2008), B.8).
    ['water freezes at 0 °C', 'water freezes at 32 °F'],
    ['water boils at 100 °C', 'water boils at 212 °F'],
    ['mercury freezes near −40 °C', 'mercury freezes near −40 °F'],
    // Body temperature, a usual example: 37.0 °C = 98.6 °F.
    ['37.0 °C', '98.6 °F'],
    ['-17.8 °C', '0.0 °F'],
    ['grows from 20 to 35 °C in the hall', 'grows from 68 to 95 °F in the hall'],
  ])('is converted with its offset: %s', (text, expected) => {
    expect(shown(text)).toBe(expected)
  })

  it.each([
    // 1 K = 1.8 °F, 5 K = 9 °F (NIST SP 811 (2008), B.8: interval of temperature).
    ['changed by 5 K', 'changed by 9 °F'],
    ['Changed by +2.10 ± 0.50 K.', 'Changed by +3.78 ± 0.90 °F.'],
    ['from −10 to 10 K', 'from −18 to 18 °F'],
    ['±0.5 °C', '±0.9 °F'],
    ['20 °C, limit ± 5 °C', '68 °F, limit ± 9 °F'],
    ['23.4 ± 0.5 °C', '74.12 ± 0.90 °F'],
    ['0.18 %/K', '0.1 %/°F'],
    ['0.05 ± 0.018 % of span/K', '0.028 ± 0.010 % of span/°F'],
    ['0.36 points/K', '0.2 points/°F'],
    ['it goes with the temperature: 0.9 % per K.', 'it goes with the temperature: 0.5 % per °F.'],
    ['0.9 N per K', '0.112 lbf per °F'],
    ['0.9 N pro K', '0.112 lbf pro °F'],
    // 1 lbf = 4.4482216 N, 1 ft/min = 0.00508 m/s (NIST SP 811, B.8).
    ['it goes with the speed: 100 N per m/s.', 'it goes with the speed: 0.114 lbf per ft/min.'],
  ])('is told from a difference, which has no offset: %s', (text, expected) => {
    expect(shown(text)).toBe(expected)
  })

  it('stays to a reader of °C, a difference too, whatever else is chosen', () => {
    const text = '23.4 ± 0.5 °C, 2.1 K more; 0.2 %/K'
    expect(shown(text, { ...imperial, temperature: '°C' })).toBe(text)
    expect(shown(text, { mark: '.' })).toBe(text)
  })

  const tenths = fc.integer({ min: -2731, max: 30_000 }).map((n) => n / 10)
  const numberIn = (text: string) => Number(/[−\d.]+/.exec(text)?.[0].replace('−', '-'))

  it('comes back from °F within half of its last place', () => {
    fc.assert(
      fc.property(tenths, (celsius) => {
        const fahrenheit = numberIn(shown(`${celsius.toFixed(1)} °C`))
        expect(Math.abs(((fahrenheit - 32) * 5) / 9 - celsius)).toBeLessThanOrEqual(0.05 / 1.8 + 1e-9)
      }),
    )
  })

  it('and another differ in °F by what their difference in K is told as', () => {
    fc.assert(
      fc.property(tenths, tenths, (one, other) => {
        const apart = numberIn(shown(`${one.toFixed(1)} °C`)) - numberIn(shown(`${other.toFixed(1)} °C`))
        const told = numberIn(shown(`${(one - other).toFixed(1)} K`))
        // Each temperature is rounded to a tenth; a difference keeps three digits at least.
        expect(Math.abs(apart - told)).toBeLessThanOrEqual(0.1 + Math.max(0.05, Math.abs(told) * 0.005) + 1e-9)
      }),
    )
  })

  it('with an uncertainty is as far from its ends in °F as in °C', () => {
    fc.assert(
      fc.property(tenths, fc.integer({ min: 1, max: 99 }), (celsius, U) => {
        const [value = Number.NaN, half = Number.NaN] =
          shown(`${celsius.toFixed(1)} ± ${(U / 10).toFixed(1)} °C`)
            .replaceAll('−', '-')
            .match(/-?[\d.]+/g)
            ?.map(Number) ?? []
        expect(Math.abs(value - (celsius * 1.8 + 32))).toBeLessThanOrEqual(0.5 + 1e-9)
        expect(Math.abs(half - (U / 10) * 1.8) / ((U / 10) * 1.8)).toBeLessThanOrEqual(0.051)
      }),
    )
  })
})

describe('What was converted', () => {
  it('is never converted again', () => {
    const unit = fc.constantFrom('N', 'kN', 'N/m', 'N/mA', 'm/min', 'mm', 'mm/m', '°C', 'K', '%/K', 'm/s²', 'N per K')
    fc.assert(
      fc.property(fc.double({ min: -9999, max: 9999, noNaN: true }), unit, (value, of) => {
        const once = shown(`about ${value.toFixed(2)} ${of}`)
        expect(shown(once)).toBe(once)
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
