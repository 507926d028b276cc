/**
 * The store: what it takes in a core-second, what a sample takes on the disk, how soon a shift and a month are there. Each
 * beside a row a sample in SQLite and beside DuckDB, on the same samples in the same run.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { openForWriting, transaction } from '../../gateway/recorder/driver.ts'
import { scalesOf } from '../../gateway/recorder/scales-of-config.ts'
import { StoreReader } from '../../gateway/recorder/store-reader.ts'
import { StoreWriter } from '../../gateway/recorder/store-writer.ts'
import type { NamedColumn } from '../../gateway/recorder/writer-facts.ts'
import { ticksOf } from '../../lib/store-codec/times.ts'
import { type Config, configSchema } from '../../shared/schemas/config.ts'
import { KEEP, START_MS } from '../recorder/support/made-store.ts'
import type { Measured } from './bench.ts'
import { duckdb, type PeerResult, rowPerSample } from './store-peers.ts'

export type SecondOfSamples = readonly NamedColumn[]

const CHANNELS = 8
const RATE_HZ = 100
/** 8 h are 23 million samples; a sample takes as much in 40 minutes of them. */
const SECONDS = 2400
const PEER_SECONDS = 300
const SHIFT_HOURS = 8
const MONTH_DAYS = 30

export async function run(): Promise<Measured[]> {
  const folder = mkdtempSync(join(tmpdir(), 'evenpull-bench-store-'))
  try {
    return [...ingest(folder), ...(await peers(folder)), ...opening(folder)]
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

// --- taking in -------------------------------------------------------------------

function ingest(folder: string): Measured[] {
  const path = join(folder, 'store.sqlite')
  const writer = opened(path)
  const seconds = Array.from({ length: SECONDS }, (_, s) => secondOf(s))
  const samples = CHANNELS * RATE_HZ * SECONDS
  const before = process.cpuUsage()
  for (const [s, columns] of seconds.entries()) {
    writer.samples(columns)
    if (s % 60 === 59) writer.seal()
  }
  writer.seal()
  const { user, system } = process.cpuUsage(before)
  const kept = writer.kept()
  const bytesOf = (kind: string) => kept.find((one) => one.kind === kind)?.bytes ?? 0
  writer.close()
  const how = `${CHANNELS} channels × ${RATE_HZ}/s × ${SECONDS / 60} min of 8 h, on the disk each second`
  return [
    { name: 'samples taken in', value: samples / ((user + system) / 1e6), unit: 'samples/core-second', note: how },
    {
      name: 'a sample on the disk',
      value: bytesOf('samples') / samples,
      unit: 'bytes',
      note: 'times and quality included; target ≤ 1',
    },
    {
      name: 'a sample on the disk, whole file',
      value: statSync(path).size / samples,
      unit: 'bytes',
      note: 'with roll-ups, indexes and free pages',
    },
  ]
}

async function peers(folder: string): Promise<Measured[]> {
  const samples = CHANNELS * RATE_HZ * PEER_SECONDS
  const how = `${PEER_SECONDS} s of the same samples, on the disk each second`
  const figures = (name: string, { coreSeconds, bytes }: PeerResult): Measured[] => [
    { name: `${name}: samples taken in`, value: samples / coreSeconds, unit: 'samples/core-second', note: how },
    { name: `${name}: a sample on the disk`, value: bytes / samples, unit: 'bytes', note: 'whole file' },
  ]
  const rows = figures('a row a sample in SQLite', rowPerSample(folder, PEER_SECONDS, secondOf))
  try {
    return [...rows, ...figures('DuckDB', await duckdb(folder, PEER_SECONDS, secondOf))]
  } catch (error) {
    const why = String(error instanceof Error ? error.message : error).split('\n')[0] ?? ''
    return [
      ...rows,
      { name: 'DuckDB', value: Number.NaN, unit: '', note: `not measured, the package cannot be had: ${why}` },
    ]
  }
}

// --- opening -----------------------------------------------------------------------

/** The roll-ups of a month, written as such: what 30 days at full rate would leave of themselves. */
function opening(folder: string): Measured[] {
  const path = join(folder, 'month.sqlite')
  opened(path).close()
  fillRollUps(path)
  const writer = opened(path)
  const endMs = START_MS + MONTH_DAYS * 86_400_000
  // A shift's full-rate samples would not be read for it; the last minute waits in the tail.
  for (let s = 0; s < 59; s++) writer.samples(secondOf(MONTH_DAYS * 86_400 + s))
  const reader = new StoreReader(path)
  const timed = (hours: number) => {
    const times = Array.from({ length: 9 }, () => {
      const before = performance.now()
      const text = JSON.stringify(reader.history('z', endMs - hours * 3_600_000, endMs + 60_000, 1000))
      return { ms: performance.now() - before, bytes: text.length }
    })
    return { first: times[0]?.ms ?? 0, median: times.map(({ ms }) => ms).sort((a, b) => a - b)[4] ?? 0 }
  }
  const month = timed(MONTH_DAYS * 24)
  const shift = timed(SHIFT_HOURS)
  const minute = timedSamples(reader, endMs)
  reader.close()
  writer.close()
  const note = (first: number, target: string) =>
    `zone of 2 sides and 3 others, 1000 rows, as JSON; first ${first.toFixed(0)} ms; ${target}`
  return [
    { name: 'open 8 h', value: shift.median, unit: 'ms', note: note(shift.first, 'target < 100') },
    { name: 'open 30 days', value: month.median, unit: 'ms', note: note(month.first, 'target < 200') },
    {
      name: 'open the last minute at full rate',
      value: minute,
      unit: 'ms',
      note: '6000 rows a channel, out of the tail',
    },
  ]
}

function timedSamples(reader: StoreReader, endMs: number): number {
  const before = performance.now()
  reader.samplePage('z', ticksOf(endMs), ticksOf(endMs + 60_000))
  return performance.now() - before
}

function fillRollUps(path: string): void {
  const db = openForWriting(path)
  const insert = db.prepare('INSERT INTO rollup VALUES (?, ?, ?, ?, ?, ?, ?, ?)')
  const startS = START_MS / 1000
  transaction(db, () => {
    for (let channel = 1; channel <= 5; channel++) {
      db.prepare('INSERT OR IGNORE INTO channel VALUES (?, ?)').run(channel, NAMES[channel - 1] ?? '')
      for (const level of [10, 60, 600, 3600])
        for (let t = startS; t < startS + MONTH_DAYS * 86_400; t += level) {
          const mean = 100 + 10 * Math.sin(t / 5000 + channel)
          const n = level * RATE_HZ
          insert.run(level, channel, t, n, mean - 1, mean + 1, mean * n, mean * mean * n)
        }
    }
  })
  db.close()
}

// --- samples ---------------------------------------------------------------------------

const NAMES = ['c0', 'c1', 'c2', 'c3', 'c4', 'c5', 'c6', 'c7']

function config(): Config {
  const cell = (id: string, address: number) => ({
    id,
    device: 'amp',
    register: { address },
    electrical: { unit: 'mA', counts: [0, 20_000], reads: [0, 20] },
    force: { zero: 4, gain: 31.25, capacity: 500 },
  })
  const other = (id: string, address: number, measures: string, unit: string) => ({
    id,
    device: 'amp',
    measures,
    register: { address },
    scale: { counts: [0, 1000], reads: [0, 100], unit },
  })
  return configSchema.parse({
    version: 1,
    devices: [{ id: 'amp', transport: 'modbus-tcp', host: '127.0.0.1', rate_hz: RATE_HZ }],
    channels: [
      cell('c0', 0),
      cell('c1', 1),
      other('c2', 2, 'speed', 'm/min'),
      other('c3', 3, 'tension', 'N'),
      other('c4', 4, 'temperature', '°C'),
      cell('c5', 5),
      cell('c6', 6),
      cell('c7', 7),
    ],
    zones: [
      {
        id: 'z',
        cells: { drive_side: 'c0', operator_side: 'c1' },
        speed: 'c2',
        reference: 'c3',
        temperature: 'c4',
      },
    ],
  })
}

function opened(path: string): StoreWriter {
  const writer = new StoreWriter({ path, minFreeBytes: 0, keep: KEEP, nowMs: START_MS })
  writer.configure('aaaaaaaaaaaa', START_MS, scalesOf(config()))
  return writer
}

let seed = 1
const uniform = () => {
  seed = (Math.imul(seed, 1_664_525) + 1_013_904_223) >>> 0
  return (seed + 1) / 4_294_967_297
}
const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform())

/** Counts of eight channels of one device: slow motion and 4 counts of noise; polls with 0.2 ms of jitter. */
function secondOf(s: number): SecondOfSamples {
  const ticks = Float64Array.from(
    { length: RATE_HZ },
    (_, i) => ticksOf(START_MS) + (s * RATE_HZ + i) * 100 + Math.max(-40, Math.min(40, Math.round(2 * normal()))),
  )
  return NAMES.map((channel, c) => ({
    channel,
    ticks,
    raws: Float64Array.from({ length: RATE_HZ }, (_, i) =>
      Math.round(11_000 + 400 * Math.sin((s + i / RATE_HZ) / 90 + c) + 4 * normal()),
    ),
    codes: new Uint8Array(RATE_HZ),
  }))
}
