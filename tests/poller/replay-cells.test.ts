import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { splitCells } from '../../gateway/transports/replay/csv-cells.ts'
import { parseRecordedTime } from '../../gateway/transports/replay/recorded-time.ts'

const texts = (line: string) => splitCells(line)?.map((cell) => cell.text)

describe('splitCells', () => {
  // Examples of RFC 4180 §2, items 4, 5, 6 and 7 (without the one that spans lines).
  test.each([
    ['aaa,bbb,ccc', ['aaa', 'bbb', 'ccc']],
    ['"aaa","bbb","ccc"', ['aaa', 'bbb', 'ccc']],
    ['"aaa","b""bb","ccc"', ['aaa', 'b"bb', 'ccc']],
    ['"aaa","b,bb","ccc"', ['aaa', 'b,bb', 'ccc']],
  ])('%s is %j', (line, cells) => {
    expect(texts(line)).toEqual(cells)
  })

  test.each([
    ['', ['']],
    [',', ['', '']],
    ['a,,b,', ['a', '', 'b', '']],
    [' a , "b" ,c ', ['a', 'b', 'c']],
    ['"",""', ['', '']],
    ['""""', ['"']],
  ])('%j is %j', (line, cells) => {
    expect(texts(line)).toEqual(cells)
  })

  test.each(['"a', 'a"b', '"a"b,c', 'a,"b', '"a""'])('%j is not properly quoted', (line) => {
    expect(splitCells(line)).toBeNull()
  })

  test('tells the column of each cell, counted from 1', () => {
    expect(splitCells('ab,"c,d",e')?.map((cell) => cell.column)).toEqual([1, 4, 10])
  })

  test('gives back any cells that were quoted by the rule', () => {
    fc.assert(
      fc.property(fc.array(fc.string(), { minLength: 1, maxLength: 8 }), (cells) => {
        const line = cells.map((cell) => `"${cell.replaceAll('"', '""')}"`).join(',')
        expect(texts(line)).toEqual(cells)
      }),
    )
  })
})

describe('parseRecordedTime', () => {
  // RFC 3339 §5.8 examples, with the equivalences stated there.
  test('reads the examples of RFC 3339', () => {
    const seconds = (text: string) => parseRecordedTime(text)?.seconds
    expect(seconds('1985-04-12T23:20:50.52Z')).toBeCloseTo(482196050.52, 6)
    expect(seconds('1996-12-19T16:39:57-08:00')).toBe(seconds('1996-12-20T00:39:57Z'))
    expect(seconds('1937-01-01T12:00:27.87+00:20')).toBeCloseTo(Date.UTC(1937, 0, 1, 11, 40, 27, 870) / 1000, 6)
  })

  test('agrees with Date.parse on every time it can hold', () => {
    fc.assert(
      fc.property(
        fc.date({ min: new Date('1600-01-01T00:00:00Z'), max: new Date('2400-01-01T00:00:00Z'), noInvalidDate: true }),
        (date) => {
          expect(parseRecordedTime(date.toISOString())?.seconds).toBeCloseTo(date.getTime() / 1000, 4)
        },
      ),
    )
  })

  test('keeps fractions finer than a millisecond', () => {
    const a = parseRecordedTime('2024-05-01T06:00:00.0001Z')?.seconds ?? 0
    const b = parseRecordedTime('2024-05-01T06:00:00.0003Z')?.seconds ?? 0
    expect(b - a).toBeCloseTo(0.0002, 6)
  })

  test('tells seconds, ISO with a zone and ISO without a zone apart', () => {
    expect(parseRecordedTime('12.5')).toEqual({ notation: 'seconds', seconds: 12.5 })
    expect(parseRecordedTime('-1e-3')).toEqual({ notation: 'seconds', seconds: -0.001 })
    expect(parseRecordedTime('2024-05-01 06:00')?.notation).toBe('ISO 8601 without a zone')
    expect(parseRecordedTime('2024-05-01T06:00:00+02:00')?.notation).toBe('ISO 8601 with a zone')
  })

  test.each([
    '',
    'noon',
    '2024-05-01',
    '2024-02-30T00:00:00Z',
    '2024-13-01T00:00:00Z',
    '2023-02-29T00:00:00Z',
    '2024-05-01T24:00:00Z',
    '2024-05-01T06:60:00Z',
    '2024-05-01T06:00:60Z',
    '01.05.2024 06:00:00',
    '1,5',
    '0x10',
    '1e999',
  ])('%j is no time', (text) => {
    expect(parseRecordedTime(text)).toBeNull()
  })
})
