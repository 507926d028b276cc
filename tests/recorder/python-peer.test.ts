import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { STORE_VERSION } from '../../gateway/recorder/schema.ts'
import { absent, runPython, titled } from '../http/support/python-peer.ts'
import { countsOf, madeColumn, madeFolder, openWriter, START_MS } from './support/made-store.ts'

const why = absent('sqlite3')

/** Reads the store with Python's own SQLite, and works its roll-ups out of the forces by itself (statistics, math.fsum). */
const PROGRAM = `
import json, math, sqlite3, statistics, sys
given = json.load(sys.stdin)
db = sqlite3.connect('file:' + given['path'] + '?mode=ro', uri=True)
forces, start = given['forces'], given['startS']
found = {level: [list(row) for row in db.execute('SELECT t, n, min, max, sum, sumsq FROM rollup JOIN channel ON channel.id = rollup.channel WHERE level = ? AND name = ? ORDER BY t', (level, 'ds'))] for level in (10, 60, 600, 3600)}
expected = {}
for level in found:
    groups = {}
    for i, force in enumerate(forces):
        if force is not None:
            groups.setdefault((start * 10 + i) // (10 * level) * level, []).append(force)
    expected[level] = [[t, len(g), min(g), max(g), math.fsum(g), math.fsum(x * x for x in g)] for t, g in sorted(groups.items())]
minute = next(row for row in found[60] if row[0] == start)
json.dump({
    'found': found, 'expected': expected,
    'deviation': math.sqrt((minute[5] - minute[4] ** 2 / minute[1]) / (minute[1] - 1)),
    'stdev': statistics.stdev([f for f in forces[:600] if f is not None]),
    'events': [list(row) for row in db.execute('SELECT id, t, kind, zone, who, text, data FROM event ORDER BY id')],
    'check': db.execute('PRAGMA integrity_check').fetchone()[0],
    'version': db.execute('PRAGMA user_version').fetchone()[0],
}, sys.stdout)
`

let folder: ReturnType<typeof madeFolder>
beforeEach(() => {
  folder = madeFolder()
})
afterEach(() => folder.remove())

describe('a store read by somebody else', () => {
  it.skipIf(why !== null)(
    titled("Python's sqlite3 finds the roll-ups that it works out from the forces, and the trail (C)", why),
    () => {
      const path = join(folder.path, 'line.sqlite')
      const forces = Array.from({ length: 25_000 }, (_, i) =>
        i % 97 === 0 ? null : Math.round(800 + 300 * Math.sin(i / 500)) / 8,
      )
      const writer = openWriter(path)
      for (let from = 0; from < forces.length; from += 700) {
        const raws = forces.slice(from, from + 700).map((force) => (force === null ? null : countsOf(force)))
        writer.samples([madeColumn('ds', START_MS + from * 100, 100, raws)])
        if (from % 3500 === 0) writer.seal()
      }
      writer.seal()
      const event = {
        timeMs: START_MS,
        kind: 'note' as const,
        zone: 'z',
        who: 'Ada',
        text: 'Bearing – changed °',
        data: { a: [1] },
      }
      writer.events([{ id: 1, ...event }])
      const answer = runPython(PROGRAM, { path, forces, startS: START_MS / 1000 }) as Record<string, unknown> & {
        found: Record<string, number[][]>
        expected: Record<string, number[][]>
      }
      expect(Object.values(answer.found).map((rows) => rows.length)).toEqual([250, 42, 5, 1])
      // Counts of eighths of a newton: sums are exact, and so are their squares.
      expect(answer.found).toEqual(answer.expected)
      expect(answer.deviation).toBeCloseTo(answer.stdev as number, 9)
      expect(answer.events).toEqual([[1, START_MS, 'note', 'z', 'Ada', 'Bearing – changed °', '{"a":[1]}']])
      expect([answer.check, answer.version]).toEqual(['ok', STORE_VERSION])
      writer.close()
    },
  )
})
