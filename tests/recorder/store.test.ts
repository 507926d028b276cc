import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { SampleBlock } from '../../gateway/recorder/read-samples.ts'
import { scalesOf } from '../../gateway/recorder/scales-of-config.ts'
import { StoreReader } from '../../gateway/recorder/store-reader.ts'
import { zoneHistory } from '../../shared/schemas/history.ts'
import { countsOf, madeColumn, madeConfig, madeFolder, openWriter, readAll, START_MS } from './support/made-store.ts'

let folder: ReturnType<typeof madeFolder>
let path: string
beforeEach(() => {
  folder = madeFolder()
  path = join(folder.path, 'line.sqlite')
})
afterEach(() => folder.remove())

const rowsOf = (blocks: readonly SampleBlock[], column: number) =>
  blocks.flatMap((block) =>
    [...block.timesMs].map((timeMs, i) => [
      timeMs,
      block.raws[column]?.[i],
      block.codes[column]?.[i],
      block.values[column]?.[i],
    ]),
  )

describe('samples', () => {
  it('come back with time, number, quality and SI value, from the tail and from chunks alike', () => {
    const raws = [4800, 4808, null, 4816, 5030]
    const codes = [0, 0, 3, 1, 6]
    const writer = openWriter(path)
    writer.samples([madeColumn('ds', START_MS, 10.3, raws, codes)])
    const reader = new StoreReader(path)
    const fromTail = rowsOf(readAll(reader, START_MS, START_MS + 1000), 0)
    expect(fromTail).toEqual([
      [START_MS, 4800, 0, 100],
      [START_MS + 10.3, 4808, 0, 101],
      [START_MS + 20.6, Number.NaN, 3, Number.NaN],
      [START_MS + 30.9, 4816, 1, 102], // uncertain: shown
      [START_MS + 41.2, 5030, 6, Number.NaN], // bad: the number is kept, it is no value
    ])
    writer.seal()
    expect(rowsOf(readAll(reader, START_MS, START_MS + 1000), 0)).toEqual(fromTail)
    reader.close()
    writer.close()
  })

  it('of a minute that was interrupted are taken up by the next process, once', () => {
    const first = openWriter(path)
    first.samples([madeColumn('ds', START_MS, 10, [1, 2, 3])])
    first.samples([madeColumn('ds', START_MS + 30, 10, [4, 5, 6])])
    first.close()
    const second = openWriter(path)
    expect(second.found.newestMs).toBe(START_MS + 50)
    second.samples([madeColumn('ds', START_MS + 60, 10, [7])])
    second.seal()
    second.close()
    const reader = new StoreReader(path)
    expect(rowsOf(readAll(reader, START_MS, START_MS + 1000), 0).map(([, raw]) => raw)).toEqual([1, 2, 3, 4, 5, 6, 7])
    expect(reader.history('z', START_MS, START_MS + 10_000, 2)?.series.drive_side?.n).toEqual([7, 0])
    reader.close()
  })

  it('keep their scale when a revision comes after the wall clock was set back', () => {
    const writer = openWriter(path)
    writer.samples([madeColumn('ds', START_MS + 1000, 10, [countsOf(100), countsOf(100)])])
    writer.configure('bbbbbbbbbbbb', START_MS - 86_400_000, scalesOf(madeConfig(2)))
    writer.samples([madeColumn('ds', START_MS + 2000, 10, [countsOf(100)])])
    const reader = new StoreReader(path)
    const values = readAll(reader, START_MS, START_MS + 3000).map((block) => [
      block.revision,
      ...(block.values[0] ?? []),
    ])
    expect(values).toEqual([
      ['aaaaaaaaaaaa', 100, 100],
      ['bbbbbbbbbbbb', 200],
    ])
    reader.close()
    writer.close()
  })

  it('date the store by the newest of them, not by the end of the roll-up they are in', () => {
    const writer = openWriter(path)
    writer.samples([madeColumn('ds', START_MS, 1000, [1, 2, 3])])
    writer.seal()
    expect(writer.found.newestMs).toBe(START_MS + 2000)
    writer.close()
  })

  it('are read by the scale that was in force when they came', () => {
    const writer = openWriter(path)
    writer.samples([madeColumn('ds', START_MS, 10, [countsOf(100)])])
    writer.configure('bbbbbbbbbbbb', START_MS + 20, scalesOf(madeConfig(2)))
    writer.samples([madeColumn('ds', START_MS + 30, 10, [countsOf(100)])])
    writer.seal()
    const reader = new StoreReader(path)
    const blocks = readAll(reader, START_MS, START_MS + 1000)
    expect(blocks.map(({ revision, values }) => [revision, values[0]?.[0]])).toEqual([
      ['aaaaaaaaaaaa', 100],
      ['bbbbbbbbbbbb', 200],
    ])
    expect(reader.history('z', START_MS, START_MS + 1000, 10)?.revisions).toEqual([
      { timeMs: START_MS, revision: 'aaaaaaaaaaaa' },
      { timeMs: START_MS + 20, revision: 'bbbbbbbbbbbb' },
    ])
    reader.close()
    writer.close()
  })
})

describe('history', () => {
  it('from roll-ups is the same as from the samples themselves, whatever of it is sealed', () => {
    const writer = openWriter(path)
    const minutes = 35
    for (let minute = 0; minute < minutes; minute++) {
      const wave = (phase: number) =>
        Array.from({ length: 600 }, (_, i) =>
          Math.round(countsOf(100 + 20 * Math.sin((minute * 600 + i) / 97 + phase))),
        )
      writer.samples([
        madeColumn('ds', START_MS + minute * 60_000, 100, wave(0)),
        madeColumn('os', START_MS + minute * 60_000, 100, wave(1)),
      ])
      if (minute < minutes - 1) writer.seal()
    }
    const reader = new StoreReader(path)
    const from = START_MS
    const to = START_MS + minutes * 60_000
    const [block, ...rest] = [readAll(reader, from, to)].flat()
    expect(block).toBeDefined()
    const values = [block, ...rest].flatMap((one) => [...(one?.values[0] ?? [])])
    const times = [block, ...rest].flatMap((one) => [...(one?.timesMs ?? [])])
    expect(values).toHaveLength(minutes * 600)
    for (const [points, level] of [
      [200, 10],
      [35, 60],
      [3, 600],
    ] as const) {
      const history = zoneHistory.parse(reader.history('z', from, to, points))
      expect(history.source).toBe('roll-up')
      expect(history.bucketMs % (level * 1000)).toBe(0)
      for (const [i, start] of history.timesMs.entries()) {
        const own = values.filter((_, k) => (times[k] ?? 0) >= start && (times[k] ?? 0) < start + history.bucketMs)
        expect(history.series.drive_side?.n[i]).toBe(own.length)
        expect(history.series.drive_side?.min[i]).toBe(own.length === 0 ? null : Math.min(...own))
        expect(history.series.drive_side?.max[i]).toBe(own.length === 0 ? null : Math.max(...own))
        if (own.length > 0)
          expect(history.series.drive_side?.mean[i]).toBeCloseTo(own.reduce((a, b) => a + b, 0) / own.length, 9)
      }
    }
    const fine = zoneHistory.parse(reader.history('z', from, to, 2000))
    expect([fine.source, fine.bucketMs]).toEqual(['samples', 2000])
    expect(fine.series.drive_side?.n.reduce((a, b) => a + b, 0)).toBe(values.length)
    reader.close()
    writer.close()
  })

  it('has null where nothing good came, never zero and never the last value', () => {
    const writer = openWriter(path)
    writer.samples([
      madeColumn('ds', START_MS, 1000, [countsOf(90), null, countsOf(110)]),
      madeColumn('os', START_MS, 1000, [countsOf(110), countsOf(110), countsOf(110)]),
    ])
    const reader = new StoreReader(path)
    const history = zoneHistory.parse(reader.history('z', START_MS, START_MS + 3000, 100))
    expect(history.bucketMs).toBe(0)
    expect(history.series.drive_side?.mean).toEqual([90, null, 110])
    expect(history.series.total?.mean).toEqual([200, null, 220])
    expect(history.series.imbalance?.mean).toEqual([10, null, 0])
    expect([history.keptFromMs, history.keptToMs]).toEqual([START_MS, START_MS + 2000])
    expect(reader.history('nowhere', START_MS, START_MS + 3000, 100)).toBeUndefined()
    reader.close()
    writer.close()
  })

  it('tells the sides apart in the row in which they were exchanged, sealed or not', () => {
    const writer = openWriter(path)
    const config = madeConfig()
    const [zone] = config.zones
    const exchanged = {
      ...config,
      zones: [{ ...zone, cells: { drive_side: 'os', operator_side: 'ds' } }] as typeof config.zones,
    }
    // 100 N on one channel, 200 N on the other, every second of 40 min; exchanged in the middle of a stretch of 10 s.
    const minutes = 40
    const cutMs = START_MS + 17 * 60_000 + 5000
    const part = (channel: string, fromMs: number, toMs: number, newtons: number) =>
      madeColumn(channel, fromMs, 1000, Array((toMs - fromMs) / 1000).fill(countsOf(newtons)))
    const endMs = START_MS + minutes * 60_000
    writer.samples([part('ds', START_MS, cutMs, 100), part('os', START_MS, cutMs, 200)])
    writer.configure('bbbbbbbbbbbb', cutMs, scalesOf(exchanged))
    writer.samples([part('ds', cutMs, endMs, 100), part('os', cutMs, endMs, 200)])
    const reader = new StoreReader(path)
    const look = () => {
      const history = zoneHistory.parse(reader.history('z', START_MS, endMs, 4))
      expect([history.source, history.bucketMs]).toEqual(['roll-up', 600_000])
      const { drive_side, operator_side } = history.series
      expect(drive_side?.n).toEqual([600, 600, 600, 600])
      expect(operator_side?.n).toEqual([600, 600, 600, 600])
      expect([drive_side?.mean[0], drive_side?.mean[3]]).toEqual([100, 200])
      expect(drive_side?.mean[1]).toBeCloseTo((425 * 100 + 175 * 200) / 600, 9)
      expect(operator_side?.mean[1]).toBeCloseTo((425 * 200 + 175 * 100) / 600, 9)
    }
    look()
    writer.seal()
    look()
    // Where the range begins or ends within the same ten seconds, too.
    for (const [from, to, n] of [
      [cutMs - 2000, endMs, 1377],
      [START_MS, cutMs + 2000, 1027],
    ] as const) {
      const history = zoneHistory.parse(reader.history('z', from, to, 20))
      expect(history.source).toBe('roll-up')
      expect(history.series.drive_side?.n.reduce((a, b) => a + b, 0)).toBe(n)
    }
    reader.close()
    writer.close()
  })

  it('makes a total of what was in force when it was measured, also after the factors have changed', () => {
    const writer = openWriter(path)
    const { channels, zones } = scalesOf(madeConfig())
    const withFactor = (factor: number) => ({
      channels,
      zones: zones.map((zone) => ({
        ...zone,
        forceFactor: { drive_side: factor, operator_side: factor },
        totalMeans: 'tension' as const,
      })),
    })
    const second = (i: number) => START_MS + i * 1000
    const raws = Array.from({ length: 3 }, () => countsOf(100))
    for (const [beginS, factor] of [
      [0, 2],
      [12, 0.5],
    ] as const) {
      writer.configure(`from ${beginS} s`, second(beginS), withFactor(factor))
      for (const side of ['ds', 'os']) writer.samples([madeColumn(side, second(beginS + 1), 5000, raws)])
    }
    const reader = new StoreReader(path)
    const ofSamples = zoneHistory.parse(reader.history('z', START_MS, second(25), 100))
    expect(ofSamples.series.total?.mean).toEqual([100, 100, 100, 400, 400, 400])
    // Rows of 5 s: in the middle one both were in force, and neither tells its total.
    const inRows = zoneHistory.parse(reader.history('z', second(1), second(25), 5))
    expect(inRows.bucketMs).toBe(5000)
    expect(inRows.series.total?.mean).toEqual([100, 100, null, 400, 400])
    expect(inRows.series.drive_side?.mean).toEqual(Array(5).fill(100))
    reader.close()
    writer.close()
  })
})

describe('events, documents, outbox, minutes', () => {
  it('an event keeps its number, and a number is never used twice', () => {
    const writer = openWriter(path)
    const event = {
      timeMs: START_MS,
      kind: 'note' as const,
      zone: 'z',
      who: 'Ada',
      text: 'Felt changed.',
      data: { a: 1 },
    }
    writer.events([
      { id: 1, ...event },
      { id: 2, ...event, zone: null },
    ])
    writer.events([{ id: 2, ...event }])
    expect(writer.found.lastEventId).toBe(2)
    const reader = new StoreReader(path)
    expect(reader.events({ limit: 10 })).toEqual({
      events: [
        { id: 2, ...event, zone: null },
        { id: 1, ...event },
      ],
      olderBefore: null,
    })
    expect(reader.events({ limit: 1 }).olderBefore).toBe(2)
    expect(reader.events({ limit: 1, before: 2 })).toEqual({ events: [{ id: 1, ...event }], olderBefore: null })
    expect(reader.events({ limit: 10, zone: 'z' }).events).toHaveLength(1)
    reader.close()
    writer.close()
  })

  it('a document is replaced whole; an outbox row keeps its number when those before it are gone', () => {
    const writer = openWriter(path)
    writer.putDocument('baseline', 'a', START_MS, '{"x":1}')
    writer.putDocument('baseline', 'a', START_MS + 1, '{"x":2}')
    expect(writer.appendOutbox([1, 2, 3].map((i) => ({ timeMs: START_MS, topic: 't', body: String(i) })))).toBe(3)
    writer.trimOutbox(3)
    expect(writer.appendOutbox([{ timeMs: START_MS, topic: 't', body: '4' }])).toBe(4)
    const reader = new StoreReader(path)
    expect(reader.documents('baseline')).toEqual([{ id: 'a', timeMs: START_MS + 1, body: '{"x":2}' }])
    expect(reader.document('baseline', 'b')).toBeUndefined()
    expect(reader.outboxAfter(0, 10)).toEqual([{ seq: 4, timeMs: START_MS, topic: 't', body: '4' }])
    reader.close()
    writer.close()
  })

  it('of two rows of one minute the one with more good frames stays', () => {
    const writer = openWriter(path)
    const minute = (good: number) => ({
      tMs: START_MS,
      frames: 60,
      good,
      state: 'steady' as const,
      force: { drive_side: 1, operator_side: 2 },
      noise: {},
      total: good,
      speed: null,
      reference: null,
      temperature: null,
      neighbour: null,
      revision: 'aaaaaaaaaaaa',
    })
    writer.minutes([{ zone: 'z', minute: minute(40) }])
    writer.minutes([{ zone: 'z', minute: minute(20) }])
    const reader = new StoreReader(path)
    expect(reader.minutes('z', START_MS, START_MS + 1)).toEqual([minute(40)])
    reader.close()
    writer.close()
  })
})

describe('a file that cannot be used', () => {
  it('is set aside when it is no store, and a new one is begun', () => {
    writeFileSync(path, 'this is no database, and was never one'.repeat(200))
    const writer = openWriter(path)
    expect(writer.found.setAside).toMatch(/broken-2026/)
    expect(readFileSync(writer.found.setAside ?? '', 'utf8')).toContain('never one')
    expect(writer.samples([madeColumn('ds', START_MS, 10, [1])]).state).toBe('running')
    writer.close()
  })

  it('is refused while another writer holds it', () => {
    const writer = openWriter(path)
    expect(() => openWriter(path)).toThrow(expect.objectContaining({ code: 'EVP_STORE_LOCKED' }))
    writer.close()
    openWriter(path).close()
  })
})
