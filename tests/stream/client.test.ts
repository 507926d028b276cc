import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { encodeText, MAX_MISSED_RANGES, StreamClient } from '../../gateway/stream/client.ts'
import { CHUNK_BYTES, ZoneStream } from '../../gateway/stream/zone-stream.ts'
import { KIND_ENVELOPE, KIND_SAMPLES } from '../../shared/protocol/sample-batch.ts'
import { MAX_BUFFERED_BYTES } from '../../shared/protocol/version.ts'
import { HandClock, HandOutlet, madeZone, oneCell } from './support/made-stream.ts'

/** A zone, one client of it, and the values sent so far (each row's value is its number). */
class Scene {
  readonly clock = new HandClock()
  readonly zone = new ZoneStream(madeZone('a', ['single'], 1), 0, this.clock)
  readonly outlet = new HandOutlet()
  readonly client = new StreamClient(this.outlet)
  rows = 0

  frames(count: number): void {
    for (let i = 0; i < count; i++, this.rows++) this.zone.push(oneCell(this.rows * 10, this.rows))
    const batch = this.zone.flush()
    if (batch !== null) this.client.live(this.zone, batch, this.clock.ms)
  }

  subscribe(afterSeq?: number): void {
    this.client.subscribe([{ zone: this.zone, afterSeq }])
  }

  /** Fills the buffer beyond the limit, as a page that does not read would. */
  stall(): void {
    while (this.outlet.bufferedAmount <= MAX_BUFFERED_BYTES)
      this.client.control({ type: 'caught-up', zone: 'x'.repeat(8000), seq: 0 })
  }

  sampleValues(): number[] {
    return this.outlet.batches().flatMap((batch) => (batch.kind === KIND_SAMPLES ? [...(batch.values[0] ?? [])] : []))
  }
}

const upTo = (count: number, from = 0) => Array.from({ length: count - from }, (_, i) => from + i)

describe('StreamClient', () => {
  it('gets the backlog flagged as such, then caught-up, then live batches', () => {
    const scene = new Scene()
    for (let i = 0; i < 10; i++) scene.frames(3)
    scene.subscribe()
    scene.outlet.takeAll()
    scene.frames(2)
    scene.outlet.takeAll()
    expect(scene.sampleValues()).toEqual(upTo(32))
    expect(scene.outlet.batches().map((batch) => batch.backlog)).toEqual([true, false])
    expect(scene.outlet.messages('caught-up')).toEqual([{ type: 'caught-up', zone: 'a', seq: 10 }])
    expect(scene.outlet.received.map((item) => item.kind)).toEqual(['batch', 'message', 'batch'])
  })

  it('gets only what came after the batch it names', () => {
    const scene = new Scene()
    for (let i = 0; i < 10; i++) scene.frames(1)
    scene.subscribe(7)
    scene.outlet.takeAll()
    expect(scene.sampleValues()).toEqual([7, 8, 9])
  })

  it('gets the whole backlog when the batch it names was never given out: it speaks of another start', () => {
    const scene = new Scene()
    for (let i = 0; i < 3; i++) scene.frames(1)
    scene.subscribe(99)
    scene.outlet.takeAll()
    expect(scene.sampleValues()).toEqual([0, 1, 2])
  })

  it('of a backlog longer than kept it gets what is left', () => {
    const scene = new Scene()
    for (let i = 0; i < 3000; i++) scene.frames(1)
    expect(scene.zone.oldestSeq).toBeGreaterThan(6)
    scene.subscribe(5)
    scene.outlet.takeAll()
    expect(scene.sampleValues()).toEqual(upTo(3000, scene.zone.oldestSeq - 1))
  })

  it('while too slow gets no samples; drained, an envelope and the count of what it did not get', () => {
    const scene = new Scene()
    scene.subscribe()
    scene.frames(1)
    scene.stall()
    for (let i = 0; i < 40; i++) scene.frames(5)
    expect(scene.client.stalledSinceMs).toBe(0)
    scene.outlet.takeAll()
    scene.frames(1)
    scene.outlet.takeAll()
    expect(scene.sampleValues()).toEqual([0, 201])
    expect(scene.outlet.messages('dropped')).toEqual([
      { type: 'dropped', zone: 'a', samples: 200, firstSeq: 2, lastSeq: 41 },
    ])
    const envelope = scene.outlet.batches().find((batch) => batch.kind === KIND_ENVELOPE)
    expect(envelope).toMatchObject({ samples: 200, firstSeq: 2, seq: 41 })
    expect(Math.min(...(envelope?.values[0] ?? []))).toBe(1)
    expect(Math.max(...(envelope?.maxima?.[0] ?? []))).toBe(200)
    expect(scene.client.stalledSinceMs).toBeNull()
  })

  it('can fetch what was dropped as far as it is kept', () => {
    const scene = new Scene()
    scene.subscribe()
    scene.stall()
    for (let i = 0; i < 20; i++) scene.frames(1)
    scene.outlet.takeAll()
    const [dropped] = scene.outlet.messages('dropped')
    scene.client.missed(scene.zone, dropped?.firstSeq ?? 0, dropped?.lastSeq ?? 0)
    scene.outlet.takeAll()
    expect(scene.sampleValues()).toEqual(upTo(20))
    expect(scene.outlet.messages('caught-up').at(-1)?.seq).toBe(20)
  })

  it('asked for batches that are no more, or not yet, answers caught-up alone', () => {
    const scene = new Scene()
    for (let i = 0; i < 3000; i++) scene.frames(1)
    scene.client.missed(scene.zone, 0, 3)
    scene.client.missed(scene.zone, 5000, 6000)
    scene.outlet.takeAll()
    expect(scene.sampleValues()).toEqual([])
    expect(scene.outlet.messages('caught-up').map((message) => message.seq)).toEqual([3, 3000])
  })

  it('refuses more waiting ranges than it keeps', () => {
    const scene = new Scene()
    scene.frames(1)
    scene.stall()
    for (let i = 0; i < MAX_MISSED_RANGES; i++) scene.client.missed(scene.zone, 1, 1)
    expect(() => scene.client.missed(scene.zone, 1, 1)).toThrow(expect.objectContaining({ code: 'EVP_TOO_MANY' }))
  })

  it('while too slow skips texts of which only the newest matters, and gets the newest when drained', () => {
    const scene = new Scene()
    scene.stall()
    for (let timeMs = 1; timeMs <= 50; timeMs++)
      scene.client.latest('now', encodeText({ type: 'now', timeMs, zones: [] }), 0)
    scene.outlet.takeAll()
    expect(scene.outlet.messages('now').map((message) => message.timeMs)).toEqual([50])
  })

  it('sending backlog never makes a client slow by itself', () => {
    const scene = new Scene()
    for (let i = 0; i < 6000; i++) scene.frames(1)
    scene.subscribe()
    for (let i = 0; i < 200; i++) {
      scene.frames(1)
      scene.outlet.take(1)
    }
    expect(scene.outlet.highWater).toBeLessThan(MAX_BUFFERED_BYTES / 2 + CHUNK_BYTES)
    expect(scene.outlet.messages('dropped')).toEqual([])
  })

  it('whatever it takes and when, each sample comes once or is counted as dropped once, in order', () => {
    const step = fc.oneof(
      {
        weight: 5,
        arbitrary: fc.record({ kind: fc.constant('frames' as const), n: fc.integer({ min: 1, max: 300 }) }),
      },
      { weight: 3, arbitrary: fc.record({ kind: fc.constant('take' as const), n: fc.integer({ min: 0, max: 12 }) }) },
      { weight: 1, arbitrary: fc.record({ kind: fc.constant('stall' as const), n: fc.constant(0) }) },
      { weight: 1, arbitrary: fc.record({ kind: fc.constant('resize' as const), n: fc.integer({ min: 1, max: 4 }) }) },
    )
    const before = fc.integer({ min: 0, max: 30 })
    let withDrops = 0
    fc.assert(
      fc.property(before, fc.array(step, { maxLength: 60 }), (batchesBefore, steps) => {
        const scene = new Scene()
        for (let i = 0; i < batchesBefore; i++) scene.frames(7)
        scene.subscribe()
        for (const { kind, n } of steps) {
          if (kind === 'frames') scene.frames(n)
          else if (kind === 'take') scene.outlet.take(n)
          else if (kind === 'stall') scene.stall()
          else scene.zone.reconfigure(madeZone('a', ['single'], n), 0)
        }
        scene.outlet.takeAll()
        const told = deliveries(scene.outlet)
        let nextSeq = 1
        let nextRow = 0
        for (const { firstSeq, lastSeq, rows } of told) {
          expect(firstSeq).toBe(nextSeq)
          nextSeq = lastSeq + 1
          nextRow += rows
        }
        expect(nextSeq).toBe(scene.zone.lastSeq + 1)
        expect(nextRow).toBe(scene.rows)
        const values = scene.sampleValues()
        expect(values).toEqual(values.toSorted((a, b) => a - b))
        if (scene.outlet.messages('dropped').length > 0) withDrops++
      }),
      { numRuns: 200 },
    )
    expect(withDrops).toBeGreaterThan(10)
  })
})

/** What a page can account for: samples received, and samples it was told it did not get. */
function deliveries(outlet: HandOutlet): { firstSeq: number; lastSeq: number; rows: number }[] {
  return outlet.received.flatMap((item) => {
    if (item.kind === 'batch' && item.batch.kind === KIND_SAMPLES) {
      const { firstSeq, seq, timesMs } = item.batch
      return [{ firstSeq, lastSeq: seq, rows: timesMs.length }]
    }
    if (item.kind === 'message' && item.message.type === 'dropped') {
      const { firstSeq, lastSeq, samples } = item.message
      return [{ firstSeq, lastSeq, rows: samples }]
    }
    return []
  })
}
