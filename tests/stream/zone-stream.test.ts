import { describe, expect, it } from 'vitest'
import { CHUNK_BYTES, MAX_PENDING_ROWS, ringCapacity, ZoneStream } from '../../gateway/stream/zone-stream.ts'
import { monotonicMs } from '../../shared/brand.ts'
import { decodeSampleBatch, KIND_ENVELOPE, KIND_SAMPLES, type SampleBatch } from '../../shared/protocol/sample-batch.ts'
import { BACKLOG_SECONDS } from '../../shared/protocol/version.ts'
import { qualityByte } from '../../shared/quality.ts'
import { EPOCH_OFFSET_MS, HandClock, madeSample, madeZone, oneCell } from './support/made-stream.ts'

const clock = new HandClock()

function decoded(batch: { bytes: Uint8Array } | null): SampleBatch {
  const result = batch === null ? null : decodeSampleBatch(batch.bytes.slice().buffer)
  if (result === null) throw new Error('expected a batch')
  return result
}

describe('ZoneStream', () => {
  it('keeps ten minutes at the asked rate, and never less than two bursts', () => {
    expect(ringCapacity(100)).toBeGreaterThanOrEqual(BACKLOG_SECONDS * 100)
    expect(ringCapacity(1)).toBe(2 * MAX_PENDING_ROWS)
  })

  it('sends good and uncertain values with their quality, bad and missing ones as NaN with the reason', () => {
    const zone = new ZoneStream(madeZone('a', ['drive_side', 'operator_side', 'speed', 'temperature']), 3, clock)
    zone.push({
      tMs: monotonicMs(5),
      skewMs: 0,
      sides: { drive_side: madeSample(5, 12.5, 'saturated'), operator_side: madeSample(5, null, 'wire-break') },
      aux: { speed: madeSample(5, 4) },
    })
    const batch = decoded(zone.flush())
    expect(batch).toMatchObject({ kind: KIND_SAMPLES, backlog: false, zone: 3, seq: 1, firstSeq: 1, samples: 1 })
    expect([...batch.timesMs]).toEqual([EPOCH_OFFSET_MS + 5])
    expect(batch.values.map((column) => column[0])).toEqual([12.5, Number.NaN, 4, Number.NaN])
    const codes = (['saturated', 'wire-break', 'good', 'missing'] as const).map(qualityByte)
    expect(batch.qualities.map((column) => column[0])).toEqual(codes)
  })

  it('never sends a number for a bad sample, even when one stands in it', () => {
    const zone = new ZoneStream(madeZone('a'), 0, clock)
    zone.push({ tMs: monotonicMs(0), skewMs: 0, sides: { single: madeSample(0, 99, 'frozen') }, aux: {} })
    expect(decoded(zone.flush()).values[0]?.[0]).toBeNaN()
  })

  it('a frame of which both sides are bad is a row too', () => {
    const zone = new ZoneStream(madeZone('a', ['drive_side', 'operator_side']), 0, clock)
    const gap = madeSample(7, null, 'no-answer')
    zone.push({ tMs: monotonicMs(7), skewMs: null, sides: { drive_side: gap, operator_side: gap }, aux: {} })
    const batch = decoded(zone.flush())
    expect(batch.samples).toBe(1)
    expect(batch.qualities.map((column) => column[0])).toEqual([qualityByte('no-answer'), qualityByte('no-answer')])
  })

  it('cuts backlog into chunks of whole batches under the chunk size', () => {
    const zone = new ZoneStream(madeZone('a'), 0, clock)
    for (let i = 0; i < 6000; i++) {
      zone.push(oneCell(i * 10, i))
      if (i % 3 === 2) zone.flush()
    }
    const values: number[] = []
    for (let seq = zone.oldestSeq; seq <= zone.lastSeq; ) {
      const chunk = zone.chunk(seq, zone.lastSeq)
      expect(chunk.bytes.byteLength).toBeLessThanOrEqual(CHUNK_BYTES)
      const batch = decoded(chunk)
      expect(batch).toMatchObject({ backlog: true, firstSeq: seq, seq: chunk.seq })
      values.push(...(batch.values[0] ?? []))
      seq = chunk.seq + 1
    }
    expect(values).toEqual(Array.from({ length: 6000 }, (_, i) => i))
  })

  it('starts the backlog ten minutes before the newest sample, though a slow zone keeps more', () => {
    const zone = new ZoneStream(madeZone('a', ['single'], 1), 0, clock)
    for (let second = 0; second < 1000; second++) {
      zone.push(oneCell(second * 1000, second))
      zone.flush()
    }
    expect(zone.oldestSeq).toBe(1)
    const first = decoded(zone.chunk(zone.backlogStart(), zone.lastSeq)).values[0]?.[0]
    expect(first).toBe(999 - BACKLOG_SECONDS)
  })

  it('goes on counting and keeps its rows over a new rate, and drops them when the columns change', () => {
    const zone = new ZoneStream(madeZone('a'), 0, clock)
    for (let i = 0; i < 5; i++) {
      zone.push(oneCell(i, i))
      zone.flush()
    }
    zone.reconfigure(madeZone('a', ['single'], 200), 2)
    expect([zone.oldestSeq, zone.lastSeq]).toEqual([1, 5])
    expect([...(decoded(zone.chunk(1, 5)).values[0] ?? [])]).toEqual([0, 1, 2, 3, 4])
    expect(decoded(zone.chunk(1, 5)).zone).toBe(2)
    zone.reconfigure(madeZone('a', ['single', 'speed'], 200), 2)
    expect([zone.oldestSeq, zone.lastSeq]).toEqual([6, 5])
    zone.push(oneCell(9, 9))
    expect(decoded(zone.flush())).toMatchObject({ seq: 6, firstSeq: 6 })
  })

  it('draws a skipped range together to about one row in 100 ms that says how many samples it stands for', () => {
    const zone = new ZoneStream(madeZone('a'), 0, clock)
    for (let i = 0; i < 300; i++) {
      zone.push(oneCell(i * 10, i))
      zone.flush()
    }
    const batch = decoded(zone.envelope(101, 300))
    expect(batch).toMatchObject({ kind: KIND_ENVELOPE, firstSeq: 101, seq: 300, samples: 200 })
    expect(batch.timesMs.length).toBe(20)
    expect([batch.values[0]?.[0], batch.maxima?.[0]?.[0]]).toEqual([100, 109])
  })

  it('widens the buckets of a long range, so that its envelope stays one small message', () => {
    const zone = new ZoneStream(madeZone('a', ['single'], 1), 0, clock)
    for (let i = 0; i < 1000; i++) {
      zone.push(oneCell(i * 1000, i))
      zone.flush()
    }
    expect(decoded(zone.envelope(1, 1000)).timesMs.length).toBeLessThanOrEqual(1001)
  })
})
