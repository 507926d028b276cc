import { describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { type KeyEdit, keyEdits, withEdits } from '../../gateway/config/edit/key-edits.ts'
import { editConfigText } from '../../gateway/config/edit.ts'

const FILE = `# Line 2, written by hand
version: 1
devices: [ { id: amp,  transport: replay, file: x.csv } ]   # one amplifier

channels:
  - id: ds          # drive side
    device: amp
    # found with the 20 kg weight
    force: { unit: N,   zero: 4.00, gain: 31.25, capacity: 500 }  # May
  - id: os
    device: amp
    force:
      zero:   0.50   # bare roller
      gain:   "31.25"
      capacity: 500
    # a remark at the end of the channel

zones:
  - id: infeed
    cells: { drive_side: ds, operator_side: os }
    cell_distance_m: 1.6   # by tape
    # the last word
`

const edit = (edits: KeyEdit[], text = FILE) => editConfigText(text, edits, 'line.yaml')
/** Lines of `b` that are not in `a` at the same place counted from the unchanged ones, as a reader sees a change. */
const changedLines = (a: string, b: string) => {
  const before = a.split('\n')
  return b.split('\n').filter((line) => !before.includes(line))
}

describe('editConfigText', () => {
  it('changes a number in place and leaves every other byte as it was typed', () => {
    const out = edit([
      { path: ['channels', 0, 'force', 'zero'], value: 4.0127 },
      { path: ['channels', 1, 'force', 'zero'], value: -0.031 },
    ])
    expect(out).toBe(FILE.replace('zero: 4.00', 'zero: 4.0127').replace('zero:   0.50', 'zero:   -0.031'))
  })

  it('adds a key to a mapping in braces and to one of lines', () => {
    const out = edit([
      { path: ['channels', 0, 'force', 'u_gain_percent'], value: 0.12 },
      { path: ['channels', 1, 'force', 'u_gain_percent'], value: 0.13 },
    ])
    expect(changedLines(FILE, out)).toEqual([
      '    force: { unit: N,   zero: 4.00, gain: 31.25, capacity: 500, u_gain_percent: 0.12 }  # May',
      '      u_gain_percent: 0.13',
    ])
    expect(FILE.split('\n').filter((line) => !out.includes(line))).toEqual([
      '    force: { unit: N,   zero: 4.00, gain: 31.25, capacity: 500 }  # May',
    ])
  })

  it('adds, changes and takes out a block of its own, and the file is what it was before', () => {
    const geometry = { rollers: { before: [{ name: 'A: "b"', x_mm: 1 }], measuring: { x_mm: 0 } }, mount: 'flange' }
    const added = edit([{ path: ['zones', 0, 'geometry'], value: geometry }])
    expect(parse(added).zones[0].geometry).toEqual(geometry)
    expect(FILE.split('\n').filter((line) => !added.split('\n').includes(line))).toEqual([])
    const commented = added.replace('x_mm: 0', 'x_mm: 0 # the origin')
    const moved = edit(
      keyEdits(geometry, { ...geometry, rollers: { ...geometry.rollers, measuring: { x_mm: 5 } } }, [
        'zones',
        0,
        'geometry',
      ]),
      commented,
    )
    expect(moved).toBe(commented.replace('x_mm: 0 #', 'x_mm: 5 #'))
    expect(edit([{ path: ['zones', 0, 'geometry'] }], added)).toBe(FILE)
  })

  it('keeps line ends as they are', () => {
    const windows = FILE.replaceAll('\n', '\r\n')
    const out = edit([{ path: ['zones', 0, 'geometry'], value: { a: { b: 1 }, c: [1, 2] } }], windows)
    expect(out.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/)
    expect(parse(out).zones[0].geometry).toEqual({ a: { b: 1 }, c: [1, 2] })
  })

  it('edits a file without a line end at its end', () => {
    const out = edit([{ path: ['zones', 0, 'web_width_m'], value: 1.2 }], FILE.trimEnd())
    expect(parse(out).zones[0].web_width_m).toBe(1.2)
  })

  it('changes one place where an anchor is repeated in another, and says so by writing both out', () => {
    const text = 'channels:\n  - force: &f { zero: 4, gain: 2 } # first\n  - force: *f\n'
    const one = parse(edit([{ path: ['channels', 0, 'force', 'zero'], value: 5 }], text))
    expect(one).toEqual({ channels: [{ force: { zero: 5, gain: 2 } }, { force: { zero: 4, gain: 2 } }] })
    const other = edit([{ path: ['channels', 1, 'force', 'zero'], value: 6 }], text)
    expect(parse(other)).toEqual({ channels: [{ force: { zero: 4, gain: 2 } }, { force: { zero: 6, gain: 2 } }] })
    expect(other).toContain('# first')
  })

  it('writes text that means what it says wherever it stands', () => {
    for (const value of [
      'a, b',
      'yes: no',
      '# no comment',
      '[x',
      '} {',
      '1.0',
      'null',
      '',
      ' x ',
      'two\nlines',
      "it's",
    ])
      for (const path of [
        ['channels', 0, 'device'],
        ['devices', 0, 'file'],
      ])
        expect(withEdits(parse(edit([{ path, value }])), [])).toEqual(withEdits(parse(FILE), [{ path, value }]))
  })

  it('takes a path that leads nowhere for a mistake and not for a wish', () => {
    expect(() => edit([{ path: ['channels', 7, 'force', 'zero'], value: 1 }])).toThrow(RangeError)
  })
})
