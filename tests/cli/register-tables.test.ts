import { expect, test } from 'vitest'
import { registerTables } from '../../gateway/cli/register-tables.ts'
import { registerRows } from '../../lib/codec/register-rows.ts'

const WORDS = [0x4049, 0x0fdb, 0xffff, 0xffff]

const view = {
  device: '127.0.0.1:502',
  unitId: 1,
  function: 4,
  address: 0,
  count: WORDS.length,
  timeMs: 0,
  roundTripMs: 1.25,
  rows: registerRows(WORDS, 4, 0),
}

test('a range is shown in every type with its orders side by side, figures to the right', () => {
  const lines = registerTables(view)
  expect(lines[0]).toBe('127.0.0.1:502, unit 1, function 4: input registers 0 to 3, answered in 1.3 ms')
  const at = (title: string) => lines.findIndex((line) => line.startsWith(title))
  expect(lines.slice(at('16 bits') + 1, at('16 bits') + 3)).toEqual([
    'offset  notation   hex  int16  uint16  int16 swapped  uint16 swapped',
    '     0     30001  4049  16457   16457          18752           18752',
  ])
  // 0x40490FDB is the float32 next to π (IEEE 754-2008 binary32): 3.1415927; as an integer 1078530011.
  expect(lines[at('float32') + 2]).toMatch(/^ +0 +30001 +3\.141593 /)
  expect(lines[at('uint32') + 2]).toMatch(/^ +0 +30001 +1078530011 /)
})

test('two registers that hold no number are a dash, and the last register begins no 32-bit value', () => {
  const lines = registerTables(view)
  const start = lines.findIndex((line) => line.startsWith('float32'))
  expect(lines[start + 4]?.split(/\s+/).slice(1)).toEqual(['2', '30003', '–', '–', '–', '–'])
  expect(lines[start + 5]).toBe('')
})
