import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { type Clock, LeadingClock } from '../../gateway/clock.ts'
import { scalesOf } from '../../gateway/recorder/scales-of-config.ts'
import { StoreLink } from '../../gateway/recorder/store-link.ts'
import { StoreRecorder } from '../../gateway/recorder/store-recorder.ts'
import { WorkerCalls } from '../../gateway/recorder/worker-calls.ts'
import { ticksOf } from '../../lib/store-codec/times.ts'
import { epochMs, monotonicMs } from '../../shared/brand.ts'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import { KEEP, madeColumn, madeConfig, openWriter, START_MS } from '../recorder/support/made-store.ts'
import { untilAnswer } from './support/gateway.ts'

const HOUR = 3_600_000
const loaded = { config: madeConfig(), revision: 'aaaaaaaaaaaa' }

let folder: string
const closing: (() => Promise<void>)[] = []
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-threads-'))
})
afterEach(async () => {
  for (const close of closing.splice(0)) await close()
  rmSync(folder, { recursive: true, force: true })
})

/** A gateway's clock that the test moves, and a wall clock that it sets. */
function madeTime(startMs: number) {
  const time = { nowMs: 0, wallOffsetMs: startMs }
  const clock: Clock = { now: () => monotonicMs(time.nowMs), toEpoch: (t) => epochMs(startMs + t) }
  return { time, clock, wallMs: () => time.nowMs + time.wallOffsetMs }
}

async function openRecorder(wallMs: () => number): Promise<StoreRecorder> {
  const recorder = await StoreRecorder.open({ configPath: join(folder, 'line.yaml'), wallMs, log: () => {} }, loaded)
  closing.push(() => recorder.close())
  return recorder
}

const sampleAt = (tMs: number, raw: number) => ({
  tMs: monotonicMs(tMs),
  halfWidthMs: 0,
  raw,
  electrical: raw,
  value: raw,
  code: 'good' as const,
})

async function rowsOf(recorder: StoreRecorder): Promise<number[][]> {
  const rows: number[][] = []
  for await (const { timesMs, raws } of recorder.samples('z', 0, 4e12))
    for (const [i, timeMs] of timesMs.entries()) rows.push([timeMs, raws[0]?.[i] ?? Number.NaN])
  return rows
}

describe('reading while it is written', () => {
  it('every answer is of one moment: all samples up to some time, each once', async () => {
    const link = new StoreLink(() => {})
    closing.push(() => link.terminate())
    const path = join(folder, 'line.sqlite')
    await link.writer.call('open', [{ path, minFreeBytes: 0, keep: KEEP, nowMs: START_MS }])
    await link.writer.call('configure', ['aaaaaaaaaaaa', START_MS, scalesOf(madeConfig())])
    link.readFrom(path)
    let written = 0
    let isRead = false
    const writing = (async () => {
      while (!isRead) {
        const raws = Array.from({ length: 50 }, (_, i) => written + i)
        await link.writer.call('samples', [[madeColumn('ds', START_MS + written * 10, 10, raws)]])
        written += 50
        if (written % 200 === 0) await link.writer.call('seal', [])
      }
    })()
    for (let answers = 0; answers < 20; answers++) {
      const before = written
      const history = await link.reader.call('history', ['z', START_MS, START_MS + HOUR, 360])
      expect((history?.series.drive_side?.n ?? []).reduce((a, b) => a + b, 0)).toBeGreaterThanOrEqual(before)
      const page = await link.reader.call('samplePage', ['z', ticksOf(START_MS), ticksOf(START_MS + HOUR)])
      const raws = [...(page?.block?.raws[0] ?? [])]
      expect(raws).toEqual(raws.map((_, i) => i))
    }
    isRead = true
    await writing
    expect(written).toBeGreaterThan(200)
  }, 60_000)
})

describe('a wall clock that is set', () => {
  it('neither loses nor reorders a sample, and each step is in the trail', async () => {
    const first = madeTime(START_MS)
    const recorder = await openRecorder(first.wallMs)
    recorder.start(first.clock)
    const steps: unknown[] = []
    recorder.onEvent(({ kind, data }) => kind === 'clock-step' && steps.push(data.stepMs))
    const stepBy = async (ms: number) => {
      const before = steps.length
      first.time.wallOffsetMs += ms
      await untilAnswer(
        async () => steps.length,
        (n) => n > before,
      )
    }
    const push = (raw: number) => {
      first.time.nowMs += 10
      recorder.sample('ds', sampleAt(first.time.nowMs, raw))
    }
    await untilAnswer(
      async () => recorder.status().state,
      (state) => state === 'running',
    )
    // The watch has to have looked once before a step can be seen.
    push(1)
    push(2)
    await stepBy(-HOUR)
    push(3)
    expect(recorder.status().aheadMs).toBe(HOUR)
    await stepBy(365 * 24 * HOUR)
    expect(recorder.status().aheadMs, 'behind').toBe(HOUR - 365 * 24 * HOUR)
    push(4)
    await stepBy(-366 * 24 * HOUR)
    push(5)
    expect(steps).toEqual([-HOUR, 365 * 24 * HOUR, -366 * 24 * HOUR])
    expect(await rowsOf(recorder)).toEqual([1, 2, 3, 4, 5].map((raw) => [START_MS + 10 * raw, raw]))
    const history = await recorder.history('z', START_MS, START_MS + 1000, 10)
    expect(history.clockSteps.map(({ stepMs }) => stepMs)).toEqual(steps)
    await recorder.close()

    // Started again with the wall clock a day back: the clock must not begin before the newest record.
    const again = await openRecorder(() => START_MS - 24 * HOUR)
    expect(again.newestMs).toBeGreaterThanOrEqual(START_MS + 50)
    const second = madeTime(Math.floor(again.newestMs ?? 0) + 1)
    again.start(second.clock)
    second.time.nowMs = 10
    again.sample('ds', sampleAt(10, 6))
    const rows = await rowsOf(again)
    expect(rows.map(([, raw]) => raw)).toEqual([1, 2, 3, 4, 5, 6])
    expect(rows.every(([timeMs = 0], i) => i === 0 || timeMs > (rows[i - 1]?.[0] ?? 0))).toBe(true)
    expect(again.status().aheadMs).toBeGreaterThan(23 * HOUR)
    const { events } = await again.events({ kind: 'clock-step', limit: 10 })
    expect(events).toHaveLength(4)
    expect(events[0]?.data.stepMs).toBeLessThan(-23 * HOUR)
  }, 60_000)
})

describe('samples that come while the store is not open', () => {
  it('are counted as lost, and the sentence does not say that every sample is recorded', async () => {
    const { time, clock, wallMs } = madeTime(START_MS)
    const recorder = await openRecorder(wallMs)
    recorder.start(clock)
    const config = madeConfig()
    const inFolder = (name: string) => ({ ...config, recorder: { ...config.recorder, folder: name } })
    const push = (count: number) => {
      for (let i = 0; i < count; i++) {
        time.nowMs += 10
        recorder.sample('ds', sampleAt(time.nowMs, i))
      }
    }
    push(5)
    expect(recorder.status()).toMatchObject({ lostSamples: 0, sentence: 'Every sample is recorded.' })
    recorder.configure(inFolder('elsewhere'), 'bbbbbbbbbbbb')
    while (recorder.status().lostSamples === 0) {
      push(1)
      await new Promise((resolve) => setImmediate(resolve))
    }
    await untilAnswer(
      async () => recorder.status().sentence,
      (sentence) => sentence.includes('could not be kept'),
    )
  })
})

describe('limits that are changed in the config', () => {
  it('hold at once, and no sample is lost over it', async () => {
    const { time, clock, wallMs } = madeTime(START_MS)
    const recorder = await openRecorder(wallMs)
    recorder.start(clock)
    const config = madeConfig()
    for (let raw = 1; raw <= 200; raw++) {
      time.nowMs += 10
      recorder.sample('ds', sampleAt(time.nowMs, raw))
      if (raw % 20 === 0)
        recorder.configure({ ...config, recorder: { ...config.recorder, min_free_mb: raw } }, 'aaaaaaaaaaaa')
      await new Promise((resolve) => setTimeout(resolve, 1))
    }
    expect((await rowsOf(recorder)).map(([, raw]) => raw)).toEqual(Array.from({ length: 200 }, (_, i) => i + 1))
    recorder.configure({ ...config, recorder: { ...config.recorder, min_free_mb: 1e9 } }, 'aaaaaaaaaaaa')
    await untilAnswer(
      async () => recorder.status().state,
      (state) => state === 'roll-ups-only',
    )
  })
})

describe('old data after a long standstill, or under a limit that was made smaller', () => {
  it('goes in one round however much it is, while samples go on being written; not a share each second', async () => {
    const path = join(folder, '.evenpull', 'line.yaml.sqlite')
    const writer = openWriter(path)
    const figures = 40_000
    const raws = Array.from({ length: figures }, (_, i) => 4000 + (i % 100))
    for (const channel of ['ds', 'os']) writer.samples([madeColumn(channel, START_MS, 10_000, raws)])
    writer.seal()
    writer.close()
    const endMs = START_MS + figures * 10_000

    vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] })
    closing.push(async () => void vi.useRealTimers())
    const { time, clock, wallMs } = madeTime(endMs)
    const config = madeConfig()
    const keep = { ...config.recorder.keep, roll_ups: { days: 1, mb: 1000 } }
    const configPath = join(folder, 'line.yaml')
    const lessKept = { ...loaded, config: { ...config, recorder: { ...config.recorder, keep } } }
    const recorder = await StoreRecorder.open({ configPath, wallMs, log: () => {} }, lessKept)
    closing.push(() => recorder.close())
    expect(recorder.status().file).toBe(path)
    const retained = vi.spyOn(WorkerCalls.prototype, 'call')
    recorder.start(clock)
    // One second of the recorder, in which a round is due; it has no other.
    time.nowMs = 20_000
    vi.advanceTimersByTime(1000)
    const sent: number[] = []
    await untilAnswer(
      async () => {
        time.nowMs += 10
        sent.push(sent.length + 1)
        recorder.sample('ds', sampleAt(time.nowMs, sent.length))
        await recorder.rangeFacts('z', endMs, 4e12)
        return recorder.status().kept.find(({ kind }) => kind === 'roll_ups')?.fromMs ?? 0
      },
      (fromMs) => fromMs >= endMs - 24 * HOUR - HOUR,
    )
    const batches = retained.mock.calls.filter(([name]) => name === 'retain').length
    retained.mockRestore()
    expect(batches).toBeGreaterThan(2)
    expect(recorder.status().lostSamples).toBe(0)
    const rows = (await rowsOf(recorder)).filter(([timeMs = 0]) => timeMs > endMs)
    expect(rows.map(([, raw]) => raw)).toEqual(sent)
  }, 120_000)
})

describe('a recording that is played faster than it was recorded', () => {
  it('runs ahead of the wall clock without a step in the trail; a step that comes meanwhile is told as it was', async () => {
    const { time, clock, wallMs } = madeTime(START_MS)
    const recorder = await openRecorder(wallMs)
    const leading = new LeadingClock(clock)
    recorder.start(leading, leading.unled)
    const steps: unknown[] = []
    recorder.onEvent(({ kind, data }) => kind === 'clock-step' && steps.push(data.stepMs))
    leading.follow(monotonicMs(24 * HOUR))
    recorder.sample('ds', sampleAt(24 * HOUR, 1))
    time.wallOffsetMs += 2 * HOUR
    await untilAnswer(
      async () => steps.length,
      (n) => n > 0,
    )
    expect(steps).toEqual([2 * HOUR])
    expect(await rowsOf(recorder)).toEqual([[START_MS + 24 * HOUR, 1]])
  })
})

describe('events', () => {
  const note = (text: string) => ({ timeMs: START_MS, kind: 'note' as const, zone: null, who: null, text, data: {} })

  it('are on the disk when the promise resolves, told to listeners, and numbered on after a restart', async () => {
    const { wallMs } = madeTime(START_MS)
    const recorder = await openRecorder(wallMs)
    const heard: StoredEvent[] = []
    recorder.onEvent((event) => heard.push(event))
    const stored = await Promise.all(['a', 'b', 'c'].map((text) => recorder.event(note(text))))
    expect(heard).toEqual(stored)
    await recorder.close()
    const again = await openRecorder(wallMs)
    const next = await again.event(note('d'))
    const { events } = await again.events({ kind: 'note', limit: 10 })
    expect(events.map(({ text }) => text)).toEqual(['d', 'c', 'b', 'a'])
    expect(events.map(({ id }) => id)).toEqual([next, ...stored.toReversed()].map(({ id }) => id))
    expect(new Set(events.map(({ id }) => id)).size).toBe(4)
  }, 60_000)

  it('that come faster than they can be written are handed over once each, not all again with every new one', async () => {
    const handed = vi.spyOn(WorkerCalls.prototype, 'call')
    const { wallMs } = madeTime(START_MS)
    const recorder = await openRecorder(wallMs)
    await Promise.all(Array.from({ length: 500 }, (_, i) => recorder.event(note(String(i)))))
    const events = handed.mock.calls.flatMap(([name, args]) =>
      name === 'events' ? (args[0] as StoredEvent[]).filter(({ kind }) => kind === 'note') : [],
    )
    handed.mockRestore()
    expect(events).toHaveLength(500)
    const { events: kept } = await recorder.events({ kind: 'note', limit: 1000 })
    expect(kept.map(({ text }) => text)).toEqual(Array.from({ length: 500 }, (_, i) => String(499 - i)))
  })

  it('that come while nothing can be written are held, listed, and written when it can', async () => {
    const { wallMs } = madeTime(START_MS)
    const holder = await openRecorder(wallMs)
    const waiting = await openRecorder(wallMs)
    expect(waiting.status()).toMatchObject({ state: 'stopped', error: { code: 'EVP_STORE_LOCKED' } })
    await waiting.event(note('meanwhile'))
    expect((await waiting.events({ kind: 'note', limit: 10 })).events.map(({ text }) => text)).toEqual(['meanwhile'])
    await expect(waiting.document.put('baseline', 'a', {})).rejects.toMatchObject({ code: 'EVP_RECORDER_STOPPED' })
    await expect(waiting.history('z', 0, 1, 2)).rejects.toMatchObject({ code: 'EVP_RECORDER_STOPPED' })
    await holder.event(note('before'))
    await holder.close()
    waiting.configure({ ...loaded.config, recorder: { ...loaded.config.recorder, min_free_mb: 1 } }, 'bbbbbbbbbbbb')
    await untilAnswer(
      async () => waiting.status(),
      ({ state, waitingEvents }) => state === 'running' && waitingEvents === 0,
    )
    const { events } = await waiting.events({ kind: 'note', limit: 10 })
    expect(events.map(({ text }) => text)).toEqual(['meanwhile', 'before'])
  }, 60_000)
})

describe('documents and the outbox', () => {
  it('are there after a restart', async () => {
    const { wallMs } = madeTime(START_MS)
    const recorder = await openRecorder(wallMs)
    await recorder.document.put('baseline', 'a', { from: 1 })
    expect(await recorder.outbox.append([{ timeMs: 1, topic: 't', body: 'b' }])).toBe(1)
    await recorder.close()
    const again = await openRecorder(wallMs)
    expect(JSON.parse((await again.document.get('baseline', 'a'))?.body ?? '')).toEqual({ from: 1 })
    expect(await again.document.list('alarm')).toEqual([])
    expect(await again.outbox.after(0, 10)).toEqual([{ seq: 1, timeMs: 1, topic: 't', body: 'b' }])
    await again.outbox.trim(1)
    expect(await again.outbox.append([{ timeMs: 1, topic: 't', body: 'c' }])).toBe(2)
  }, 60_000)
})
