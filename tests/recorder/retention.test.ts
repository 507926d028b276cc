import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { StoreReader } from '../../gateway/recorder/store-reader.ts'
import type { StoreWriter } from '../../gateway/recorder/store-writer.ts'
import { KEEP, madeColumn, madeFolder, openWriter, readAll, START_MS } from './support/made-store.ts'

const DAY_MS = 86_400_000
const days = (n: number) => START_MS + n * DAY_MS

let folder: ReturnType<typeof madeFolder>
let path: string
beforeEach(() => {
  folder = madeFolder()
  path = join(folder.path, 'line.sqlite')
})
afterEach(() => folder.remove())

/** Ten samples at noon of each day, and a minute, an event and a row of the outbox. */
function tenDays(writer: StoreWriter): void {
  for (let day = 0; day < 10; day++) {
    const noonMs = days(day) + DAY_MS / 2
    const raws = Array.from({ length: 10 }, (_, i) => 4000 + i)
    writer.samples([madeColumn('ds', noonMs, 1000, raws), madeColumn('os', noonMs, 1000, raws)])
    writer.seal()
    const event = { timeMs: noonMs, kind: 'note' as const, who: null, text: `Day ${day}`, data: {} }
    writer.events([{ id: day + 1, zone: 'z', ...event }])
    writer.appendOutbox([{ timeMs: noonMs, topic: 't', body: String(day) }])
    writer.minutes([{ zone: 'z', minute: minuteAt(noonMs) }])
  }
}

const minuteAt = (tMs: number) => ({
  tMs,
  frames: 10,
  good: 10,
  state: 'steady' as const,
  force: {},
  noise: {},
  total: 1,
  speed: null,
  reference: null,
  temperature: null,
  neighbour: null,
  revision: 'aaaaaaaaaaaa',
})

function retainAll(writer: StoreWriter, nowMs: number, mostRows = 2000): void {
  while (writer.retain(nowMs, mostRows)) {
    // until nothing is left beyond its limit
  }
}

/** Days of which each kind is still there. */
function keptDays(writer: StoreWriter): Record<string, number[]> {
  const reader = new StoreReader(path)
  const dayOf = (ms: number) => Math.floor((ms - START_MS) / DAY_MS)
  const blocks = readAll(reader, START_MS, days(20))
  const rollUps = reader.history('z', START_MS, days(10), 10)
  const kept = {
    samples: [...new Set(blocks.flatMap(({ timesMs }) => [...timesMs]).map(dayOf))],
    roll_ups: (rollUps?.series.drive_side?.n ?? []).flatMap((n, i) => (n > 0 ? [i] : [])),
    minutes: reader.minutes('z', START_MS, days(20)).map(({ tMs }) => dayOf(tMs)),
    events: reader
      .events({ limit: 100 })
      .events.map(({ timeMs }) => dayOf(timeMs))
      .reverse(),
    outbox: reader.outboxAfter(0, 100).map(({ timeMs }) => dayOf(timeMs)),
  }
  reader.close()
  expect(writer.kept().map(({ kind }) => kind)).toEqual(Object.keys(kept))
  return kept
}

const from = (day: number) => Array.from({ length: 10 - day }, (_, i) => day + i)

describe('what is older than its limit', () => {
  it.each([1, 7, 2000])('goes, each kind by its own, also %i rows at a time', (mostRows) => {
    const keep = Object.fromEntries(Object.keys(KEEP).map((kind, i) => [kind, { days: 8 - i, mb: 100 }])) as typeof KEEP
    const writer = openWriter(path, { keep })
    tenDays(writer)
    retainAll(writer, days(10), mostRows)
    expect(keptDays(writer)).toEqual({
      samples: from(2),
      roll_ups: from(3),
      minutes: from(4),
      events: from(5),
      outbox: from(6),
    })
    writer.close()
  })

  it('stays where it lies in a protected range, until that is ended', () => {
    const keep = {
      ...KEEP,
      samples: { days: 1, mb: 100 },
      roll_ups: { days: 1, mb: 100 },
      minutes: { days: 1, mb: 100 },
    }
    const writer = openWriter(path, { keep })
    tenDays(writer)
    writer.protect('verification-1', 'z', days(3), days(5))
    retainAll(writer, days(10))
    const kept = keptDays(writer)
    expect([kept.samples, kept.roll_ups, kept.minutes]).toEqual([
      [3, 4, 9],
      [3, 4, 9],
      [3, 4, 9],
    ])
    writer.unprotect('verification-1')
    retainAll(writer, days(10))
    expect(keptDays(writer).samples).toEqual([9])
    writer.close()
  })
})

describe('what lies on the edge', () => {
  it('of its limit stays whole: no sample goes that is younger', () => {
    const writer = openWriter(path, { keep: { ...KEEP, samples: { days: 1, mb: 100 } } })
    tenDays(writer)
    // The ten samples of the first day come a second apart from noon on; the limit falls between them.
    retainAll(writer, days(1.5) + 4500)
    expect(keptDays(writer).samples).toEqual(from(0))
    retainAll(writer, days(1.5) + 10_000)
    expect(keptDays(writer).samples).toEqual(from(1))
    writer.close()
  })

  it('of a protected range stays: a figure of ten seconds that began before it', () => {
    const writer = openWriter(path, { keep: { ...KEEP, roll_ups: { days: 1, mb: 100 } } })
    tenDays(writer)
    const noonMs = days(3.5)
    writer.protect('verification-1', 'z', noonMs + 5000, noonMs + 9000)
    retainAll(writer, days(10))
    const reader = new StoreReader(path)
    // Rows of ten seconds, as fine as figures are kept.
    const history = reader.history('z', noonMs - 50_000, noonMs + 50_000, 10)
    reader.close()
    expect(history?.series.drive_side?.n.filter((n) => n > 0)).toEqual([10])
    writer.close()
  })
})

describe('what is larger than its limit', () => {
  it('loses its oldest until it is not, and what samples take is known exactly', () => {
    const writer = openWriter(path)
    tenDays(writer)
    const all = writer.kept().find(({ kind }) => kind === 'samples')?.bytes ?? 0
    writer.close()
    const half = { days: 1000, mb: all / 2 / 1e6 }
    const smaller = openWriter(path, { keep: { ...KEEP, samples: half, events: { days: 1000, mb: 400 / 1e6 } } })
    retainAll(smaller, days(10))
    const kept = keptDays(smaller)
    expect(kept.samples).toEqual(from(5))
    expect(kept.events?.at(-1)).toBe(9)
    expect(kept.events?.length).toBeLessThan(7)
    expect(smaller.kept().find(({ kind }) => kind === 'samples')?.bytes).toBeLessThanOrEqual(all / 2)
    expect(kept.roll_ups).toEqual(from(0))
    smaller.close()
  })

  it('loses its oldest that may go where older evidence has to stay', () => {
    const writer = openWriter(path)
    tenDays(writer)
    writer.protect('verification-1', 'z', days(0), days(2))
    const bytes = (one: StoreWriter, kind: string) => one.kept().find((facts) => facts.kind === kind)?.bytes ?? 0
    const half = (kind: 'roll_ups' | 'minutes') => ({ days: 1000, mb: bytes(writer, kind) / 2 / 1e6 })
    const keep = { ...KEEP, roll_ups: half('roll_ups'), minutes: half('minutes') }
    writer.close()
    const smaller = openWriter(path, { keep })
    retainAll(smaller, days(10))
    const kept = keptDays(smaller)
    for (const kind of ['roll_ups', 'minutes'] as const) {
      expect(bytes(smaller, kind)).toBeLessThanOrEqual(keep[kind].mb * 1e6)
      expect(kept[kind]?.slice(0, 2)).toEqual([0, 1])
      expect(kept[kind]?.at(-1)).toBe(9)
    }
    smaller.close()
  })
})
