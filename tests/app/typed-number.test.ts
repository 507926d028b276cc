import fc from 'fast-check'
import { afterEach, describe, expect, it } from 'vitest'
import { tell, tellingNow } from '../../app/_language/current.ts'
import { formatFigure, formatNumber, formatTrimmed } from '../../app/_ui/format.ts'
import { fieldNumber, numberTrouble, typedNumber } from '../../app/_ui/typed-number.ts'
import { SI_CHOICE } from '../../shared/unit-choice.ts'

const plain = tellingNow()
const withMark = (mark: '.' | ',') => tell({ ...plain, mark })
afterEach(() => tell(plain))

describe('A typed number', () => {
  it.each(['.', ','] as const)('may have either mark, whatever is chosen (%s)', (mark) => {
    withMark(mark)
    for (const [text, value] of [
      ['1.5', 1.5],
      ['1,5', 1.5],
      ['−0,25', -0.25],
      ['0,123', 0.123],
      ['1500', 1500],
      ['12,3456', 12.3456],
      [',5', 0.5],
      ['1e3', 1000],
    ] as const) {
      expect(typedNumber(text), text).toBe(value)
      expect(numberTrouble(text), text).toBeNull()
    }
  })

  it('that may mean thousands is refused, with what to do; in the chosen mark it is meant', () => {
    withMark('.')
    expect(typedNumber('1.500')).toBe(1.5)
    expect(typedNumber('1,500')).toBeNull()
    expect(numberTrouble('1,500')).toMatch(/without signs between thousands/)
    withMark(',')
    expect(typedNumber('1,500')).toBe(1.5)
    expect(typedNumber('1.500')).toBeNull()
    for (const text of ['1,234.5', '1.234,5', '1 234', '1.234.567']) {
      expect(typedNumber(text), text).toBeNull()
      expect(numberTrouble(text), text).toMatch(/without signs between thousands/)
    }
  })

  it('is none when it is something else', () => {
    for (const text of ['', 'abc', '1..5', '1,,5', '--1', '5 N']) {
      expect(typedNumber(text), text).toBeNull()
      expect(numberTrouble(text), text).not.toBeNull()
    }
  })

  it.each(['.', ','] as const)('comes back from a field as it was put there (%s)', (mark) => {
    withMark(mark)
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        expect(typedNumber(fieldNumber(value))).toBe(value === 0 ? 0 : value)
      }),
    )
  })
})

describe('A shown number', () => {
  it('has the mark that was chosen', () => {
    withMark(',')
    expect(formatNumber(12_345.67, 2)).toBe('12\u202f345,67')
    expect(formatTrimmed(1.5)).toBe('1,5')
    expect(formatTrimmed(2)).toBe('2')
    expect(formatTrimmed(100)).toBe('100')
    expect(formatFigure(206.4, 2.1, 'N', SI_CHOICE).text.replaceAll('\u00a0', ' ')).toBe('206,4 ± 2,1 N')
  })

  it('reads back as the same number in either mark', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -9999, max: 9999, noNaN: true }),
        fc.constantFrom('.' as const, ',' as const),
        (value, mark) => {
          withMark(mark)
          expect(typedNumber(formatNumber(value, 4))).toBeCloseTo(value, 3)
        },
      ),
    )
  })
})
