import { describe, expect, test } from 'vitest'
import { ZoneStage, zoneInputs } from '../../gateway/stages/zone-stage.ts'
import type { MeasuredMinute } from '../../lib/drift/minute-track.ts'
import { type EpochMs, epochMs, monotonicMs } from '../../shared/brand.ts'
import type { QualityCode } from '../../shared/quality.ts'
import { configSchema } from '../../shared/schemas/config.ts'
import { zoneMinute } from '../../shared/schemas/zone-minute.ts'
import { configWith, HALF_TURN, type ZoneInput } from '../geometry/configured.ts'
import { normal } from '../statistics/noise-sources.ts'
import { pairAt, plantWith, sampleAt, singleAt, zoneOf } from '../statistics/plant.ts'

/** A whole minute since 1970. */
const EPOCH = 1_700_000_040_000
const RATE_HZ = 100

interface Frame {
  readonly drive?: number | QualityCode
  readonly operator?: number | QualityCode
  readonly speed?: number | QualityCode
  readonly reference?: number
}

const sample = (tMs: number, value: number | QualityCode) =>
  typeof value === 'number' ? sampleAt(tMs, value) : sampleAt(tMs, 0, value)

/** Frames at 100/s through the stage that the gateway uses; the web runs at 10 m/s and 100 N unless told otherwise. */
function plant(zone: Partial<ZoneInput> = {}) {
  const config = configSchema.parse(
    configWith({
      geometry: HALF_TURN,
      web_width_m: 1,
      web_offset_m: 0,
      speed: 'line-speed',
      reference: 'set',
      ...zone,
    }),
  )
  const [only] = config.zones
  if (only === undefined) throw new Error('the config has no zone')
  const stage = new ZoneStage(zoneInputs(config, only))
  const toEpoch = (t: number): EpochMs => epochMs(t + EPOCH)
  const noise = normal(7)
  let tMs = -1000 / RATE_HZ
  const run = (seconds: number, frame: (second: number) => Frame = () => ({})): MeasuredMinute[] => {
    const rows: MeasuredMinute[] = []
    for (let i = 0; i < seconds * RATE_HZ; i += 1) {
      tMs += 1000 / RATE_HZ
      const { drive = 96, operator = 96, speed = 10, reference = 100 } = frame(i / RATE_HZ)
      const noisy = (force: number | QualityCode) => (typeof force === 'number' ? force + 0.5 * noise() : force)
      const pair = { drive: sample(tMs, noisy(drive)), operator: sample(tMs, noisy(operator)) }
      const aux = { speed: sample(tMs, speed), reference: sample(tMs, reference) }
      rows.push(...stage.measure(pairAt(tMs, pair, aux), toEpoch))
    }
    return rows
  }
  const wait = (seconds: number): readonly MeasuredMinute[] => {
    tMs += 1000 * seconds
    return stage.endMinutes({ now: () => monotonicMs(tMs), toEpoch })
  }
  return { run, wait }
}

const last = (rows: readonly MeasuredMinute[]): MeasuredMinute => {
  const row = rows.at(-1)
  if (row === undefined) throw new Error('no minute has ended')
  return row
}

describe('a minute of steady running', () => {
  const rows = plant().run(181, (second) => (second > 150 && second < 152 ? { drive: 300 } : {}))

  test('is a row of the schema once its revision is known, whole minutes apart on the epoch grid', () => {
    for (const row of rows) expect(zoneMinute.parse({ ...row, revision: 'r' })).toEqual({ ...row, revision: 'r' })
    expect(rows.map(({ tMs }) => tMs - EPOCH)).toEqual([0, 60_000, 120_000])
    expect(rows.slice(1).map(({ frames, good }) => [frames, good])).toEqual([
      [6000, 6000],
      [6000, 6000],
    ])
  })

  test('holds medians: what the statics of a belt over a pulley give, whatever two seconds of nonsense say', () => {
    const row = last(rows)
    // F = (T − m·v²) on each of two arrows at half a turn: 100 − 4 = 96 N.
    expect(row.force.drive_side).toBeCloseTo(96, 0)
    expect(row.force.operator_side).toBeCloseTo(96, 1)
    expect(row.total).toBeCloseTo(100, 0)
    expect(row.expected).toBe(100)
    expect(Math.abs(row.residual ?? 99)).toBeLessThan(0.1)
    expect(Math.abs(row.imbalance ?? 99)).toBeLessThan(0.1)
    expect(row.noise.operator_side).toBeCloseTo(0.5, 1)
    expect(row).toMatchObject({ speed: 10, reference: 100, temperature: null, neighbour: null })
  })

  test('is steady by speed and reference; the first is not, its window was still filling', () => {
    expect(rows.map(({ state }) => state)).toEqual(['moving', 'steady', 'steady'])
  })
})

describe('what a zone does in a minute', () => {
  test('is assumed where no channel tells', () => {
    const { run } = plant({ speed: undefined, reference: undefined })
    expect(last(run(121)).state).toBe('assumed')
  })

  test('is moving where the speed changed in any part of it, and steady again in the next but one', () => {
    const { run } = plant()
    run(125)
    const rows = run(180, () => ({ speed: 11, drive: 95.16, operator: 95.16 }))
    expect(rows.map(({ state }) => state)).toEqual(['moving', 'steady', 'steady'])
  })

  test('is stopped by its speed, and slack by its tension', () => {
    const { run } = plant()
    expect(last(run(181, () => ({ speed: 0, drive: 100, operator: 100 }))).state).toBe('stopped')
    expect(last(run(180, () => ({ speed: 10, drive: 1, operator: 1 }))).state).toBe('slack')
  })

  test('is unknown where fewer than half of its frames are good; what is told comes from good samples alone', () => {
    const { run } = plant()
    run(120)
    const row = last(run(61, (second) => (second % 4 < 2.5 ? { drive: 'wire-break' as const } : {})))
    expect(row.state).toBe('unknown')
    expect(row.good).toBeLessThan(row.frames / 2)
    expect(row.force.drive_side).toBeCloseTo(96, 0)
  })

  test('is unknown while the speed channel gives nothing good', () => {
    const { run } = plant()
    run(120)
    const row = last(run(61, () => ({ speed: 'no-answer' as const })))
    expect(row.state).toBe('unknown')
    expect(row.speed).toBeNull()
    // Nothing is expected at an unknown speed, and no number stands for it.
    expect(row.expected).toBeNull()
    expect(row.residual).toBeNull()
  })
})

describe('a minute without good samples', () => {
  test('yields a row with nulls, never zero and never the last value', () => {
    const { run } = plant()
    run(120)
    const row = last(run(61, () => ({ drive: 'no-answer', operator: 'no-answer' })))
    expect(row).toMatchObject({
      good: 0,
      state: 'unknown',
      force: { drive_side: null, operator_side: null },
      noise: { drive_side: null, operator_side: null },
      total: null,
      imbalance: null,
      expected: null,
      residual: null,
    })
    expect(row.frames).toBe(6000)
  })

  test('is unknown where nothing came but in its first twenty seconds, good as they were', () => {
    const { run, wait } = plant()
    run(140)
    const row = last(wait(50))
    expect(row.good).toBe(row.frames)
    expect(row.good).toBeGreaterThan(1900)
    expect(row.state).toBe('unknown')
  })

  test('ends also when no frame comes at all, once a minute', () => {
    const { run, wait } = plant()
    run(90)
    const rows = wait(125)
    expect(rows.map(({ frames }) => frames)).toEqual([expect.any(Number), 0])
    expect(rows.map(({ tMs }) => tMs - EPOCH)).toEqual([60_000, 120_000])
    expect(wait(1)).toEqual([])
  })
})

test('a zone of one cell has no side difference, and without geometry nothing is expected: absent, not null', () => {
  const zone = zoneOf(plantWith({ cells: { single: 'ds' }, force_factor: 2 }))
  const config = plantWith({ cells: { single: 'ds' }, force_factor: 2 })
  const stage = new ZoneStage(zoneInputs(config, zone))
  const rows = Array.from({ length: 6001 }, (_, i) =>
    stage.measure(singleAt(10 * i, sampleAt(10 * i, 80 + (i % 2))), (t) => epochMs(t + EPOCH)),
  ).flat()
  expect(rows).toHaveLength(1)
  // 80.5 N at two newtons along the arrow a newton of web tension.
  expect(rows[0]).toMatchObject({ force: { single: 80.5 }, total: 40.25 })
  for (const key of ['imbalance', 'expected', 'residual']) expect(rows[0]).not.toHaveProperty(key)
})

test('sides that are read at unlike rates make whole minutes: a side that is not due is not a bad one', () => {
  const unlike = configSchema.parse({
    version: 1,
    devices: [
      { id: 'fast', transport: 'replay', file: 'fast.csv', rate_hz: 100 },
      { id: 'slow', transport: 'replay', file: 'slow.csv', rate_hz: 20 },
    ],
    channels: [
      { id: 'ds', device: 'fast', column: 'ds', force: { unit: 'N', zero: 0, gain: 1, capacity: 500 } },
      { id: 'os', device: 'slow', column: 'os', force: { unit: 'N', zero: 0, gain: 1, capacity: 500 } },
    ],
    zones: [{ id: 'infeed', cells: { drive_side: 'ds', operator_side: 'os' } }],
  })
  const stage = new ZoneStage(zoneInputs(unlike, zoneOf(unlike)))
  const noise = normal(9)
  const rows = Array.from({ length: 18_001 }, (_, i) => {
    const tMs = 10 * i
    const drive = sampleAt(tMs, 96 + 0.5 * noise())
    const operator = sampleAt(tMs, 100 + 0.8 * noise())
    return stage.measure(pairAt(tMs, i % 5 === 0 ? { drive, operator } : { drive }), (t) => epochMs(t + EPOCH))
  }).flat()
  const row = last(rows)
  expect(row.state).toBe('assumed')
  expect(row.good).toBe(1200)
  expect(row.noise.drive_side).toBeCloseTo(0.5, 1)
  expect(row.noise.operator_side).toBeCloseTo(0.8, 1)
  expect(row.force.operator_side).toBeCloseTo(100, 0)
})
