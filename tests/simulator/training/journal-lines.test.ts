import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  beginningLine,
  type ExercisePlan,
  entryLine,
  type JournalEntry,
  journalOf,
  journalText,
  lastKnownMs,
} from '../../../simulator/training/journal-lines.ts'

const plan: ExercisePlan = {
  id: '3f0c6a52-8a58-4c11-9f0b-4d1f1c0a7e21',
  trainee: 'Zoë\u2028 “=1+1”',
  kind: 'set',
  lesson: null,
  level: null,
  line: 'install',
  title: 'Set by the instructor',
  task: 'Find out.',
  mostFaults: 4,
  mayBeNothing: true,
  startedMs: 1000,
  hints: [],
  faults: [{ fault: 'moisture', zone: 'z', side: 'drive_side', severity: 0.1 + 0.2, onset: { kind: 'constant' } }],
  seed: 0xffffffff,
}

const time = fc.double({ min: 0, max: 1e6, noNaN: true }).map((value) => value + 0)
const ms = fc.integer({ min: 0, max: 2 ** 45 })
const deed = fc
  .record({ atSeconds: time, atMs: ms, words: fc.string(), refused: fc.boolean(), value: time, path: fc.string() })
  .map(
    ({ refused, value, words, path, ...at }): JournalEntry => ({
      kind: 'deed',
      deed: {
        ...at,
        number: 1,
        act: 'stop',
        title: 'Stop',
        zone: 'z',
        args: { path },
        seconds: 10,
        refused: refused ? { reason: words, unsafe: true } : null,
        words: refused ? null : words,
        readings: [{ figure: 'gap', side: null, value, unit: 'mm', u: value }],
      },
    }),
  )
const change = fc.record({ atSeconds: time, atMs: ms, words: fc.string() }).map(
  (made): JournalEntry => ({
    kind: 'change',
    change: { ...made, change: { do: 'clear-faults' } },
  }),
)
const beat = fc.record({ kind: fc.constant('time' as const), atSeconds: time, atMs: ms })
const hint = fc.record({ kind: fc.constant('hint' as const), atMs: ms })
const taken = fc.record({
  kind: fc.constant('taken-up' as const),
  takenUp: fc.record({ lastMs: ms, atMs: ms }),
})
const entry = fc.oneof(deed, change, beat, hint, taken) as fc.Arbitrary<JournalEntry>

describe('the journal of an open exercise', () => {
  it('read again is what was written; of times with nothing between them the last stands', () => {
    fc.assert(
      fc.property(fc.array(entry, { maxLength: 12 }), (entries) => {
        const text = beginningLine(plan) + entries.map(entryLine).join('')
        const read = journalOf(text)
        const isNeeded = (one: JournalEntry, i: number) => one.kind !== 'time' || entries[i + 1]?.kind !== 'time'
        expect(read).toEqual({ plan, entries: entries.filter(isNeeded) })
        expect(journalOf(journalText({ plan, entries }))).toEqual(read)
      }),
    )
  })

  it('cut at any byte tells what was whole by then: never half a thing, never an error', () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(deed, hint), { maxLength: 5 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (entries, share) => {
          const lines = [beginningLine(plan), ...entries.map((one) => entryLine(one as JournalEntry))]
          const bytes = Buffer.from(lines.join(''))
          const cut = Math.floor(share * bytes.length)
          let whole = 0
          for (let end = 0; whole < lines.length; whole++) {
            end += Buffer.byteLength(lines[whole] ?? '')
            if (end > cut) break
          }
          const read = journalOf(bytes.subarray(0, cut).toString('utf8'))
          expect(read).toEqual(whole === 0 ? null : { plan, entries: entries.slice(0, whole - 1) })
        },
      ),
    )
  })

  it('with a line that is no journal’s says which', () => {
    const [first, good] = [beginningLine(plan), entryLine({ kind: 'hint', atMs: 1 })]
    for (const bad of ['', '{}', '\0\0', 'null', '{"kind":"hint"}', '{"kind":"hint","atMs":1,"more":2}'])
      expect(() => journalOf(`${first}${good}${bad}\n${good}`), bad).toThrow('line 3 is not one of a journal')
    expect(() => journalOf(good)).toThrow('line 1')
    expect(() => journalOf(first.replace('"version":1', '"version":2'))).toThrow('line 1')
  })

  it('tells when it was last heard of: at its last line, else when it began', () => {
    expect(lastKnownMs({ plan, entries: [] })).toBe(1000)
    expect(lastKnownMs({ plan, entries: [{ kind: 'time', atSeconds: 3, atMs: 4000 }] })).toBe(4000)
    expect(lastKnownMs({ plan, entries: [{ kind: 'taken-up', takenUp: { lastMs: 1, atMs: 9 } }] })).toBe(9)
  })
})
