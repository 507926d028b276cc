import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { StoreReader } from '../../gateway/recorder/store-reader.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { KEEP, madeColumn, madeFolder, openWriter, START_MS } from './support/made-store.ts'

const MINUTE_MS = 60_000
const emptyMinute = (tMs: number): ZoneMinute => ({
  tMs,
  frames: 600,
  good: 600,
  state: 'steady',
  force: {},
  noise: {},
  total: 1,
  imbalance: 1,
  residual: 1,
  speed: null,
  reference: null,
  temperature: null,
  neighbour: null,
  revision: 'aaaaaaaaaaaa',
})
const made = vi.hoisted((): string[] => [])
vi.mock('@photostructure/sqlite', async (original) => {
  const real = await original<typeof import('@photostructure/sqlite')>()
  class Counting extends real.DatabaseSync {
    override prepare(...args: Parameters<InstanceType<typeof real.DatabaseSync>['prepare']>) {
      made.push(args[0])
      return super.prepare(...args)
    }
  }
  return { ...real, DatabaseSync: Counting }
})

let folder: ReturnType<typeof madeFolder>
beforeEach(() => {
  folder = madeFolder()
})
afterEach(() => folder.remove())

describe('a store that is written and read for long', () => {
  it('makes each of its statements once: what SQLite keeps for one is never given back', () => {
    const path = join(folder.path, 'line.sqlite')
    const writer = openWriter(path, { keep: { ...KEEP, samples: { days: 1000, mb: 0.001 } } })
    const reader = new StoreReader(path)
    const minute = (i: number) => {
      const fromMs = START_MS + i * MINUTE_MS
      writer.samples([
        madeColumn(
          'ds',
          fromMs,
          100,
          Array.from({ length: 600 }, (_, n) => n % 50),
        ),
      ])
      writer.seal()
      writer.minutes([{ zone: 'z', minute: emptyMinute(fromMs) }])
      writer.events([{ id: i + 1, timeMs: fromMs, kind: 'note', zone: 'z', who: null, text: 'a note', data: {} }])
      writer.trimOutbox(writer.appendOutbox([{ timeMs: fromMs, topic: 't', body: '{}' }]) - 1)
      writer.putDocument('kind', `id ${i}`, fromMs, '{}')
      writer.protect(`name ${i}`, 'z', fromMs, fromMs + 1000)
      writer.unprotect(`name ${i}`)
      writer.retain(fromMs, 2000)
      writer.kept()
      reader.history('z', START_MS, fromMs + MINUTE_MS, 20)
      reader.history('z', fromMs, fromMs + MINUTE_MS, 600)
      reader.minutes('z', START_MS, fromMs)
      reader.events({ zone: 'z', limit: 10 })
      reader.samplePage('z', START_MS * 10, (fromMs + MINUTE_MS) * 10)
      reader.rangeFacts('z', START_MS, fromMs)
      reader.outboxAfter(0, 10)
      reader.outboxExtent()
      reader.document('kind', `id ${i}`)
    }
    for (let i = 0; i < 40; i++) minute(i)
    expect(made).not.toEqual([])
    made.length = 0
    for (let i = 40; i < 50; i++) minute(i)
    expect(made).toEqual([])
    reader.close()
    writer.close()
  }, 60_000)
})
