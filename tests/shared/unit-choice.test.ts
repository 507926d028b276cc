import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { isSi, namedUnits, namesOfUnits, SI_CHOICE, UNIT_OPTIONS, type UnitChoice } from '../../shared/unit-choice.ts'

const US: UnitChoice = { force: 'lbf', speed: 'ft/min', temperature: '°F', length: 'in' }

describe('Units that are named in an address or on a command line', () => {
  it.each([
    ['si', SI_CHOICE],
    ['us', US],
    ['lbf,ft/min,F,in', US],
    ['in, °F, lbf, ft/min', US],
    ['kgf', { ...SI_CHOICE, force: 'kgf' }],
    ['m/s,C', { ...SI_CHOICE, speed: 'm/s' }],
  ] as const)('%s', (text, choice) => {
    expect(namedUnits(text)).toEqual(choice)
  })

  it.each(['', 'US', 'lb', 'lbf,N', 'lbf,lbf', 'lbf,', 'pli', 'toString', 'F F'])('are refused: "%s"', (text) => {
    expect(namedUnits(text)).toBeNull()
  })

  it('come back from their names, whatever was chosen', () => {
    const choice = fc.record({
      force: fc.constantFrom(...UNIT_OPTIONS.force),
      speed: fc.constantFrom(...UNIT_OPTIONS.speed),
      temperature: fc.constantFrom(...UNIT_OPTIONS.temperature),
      length: fc.constantFrom(...UNIT_OPTIONS.length),
    })
    fc.assert(
      fc.property(choice, (one) => {
        expect(namedUnits(namesOfUnits(one))).toEqual(one)
        expect(isSi(one)).toBe(namesOfUnits(one) === namesOfUnits(SI_CHOICE))
      }),
    )
  })
})
