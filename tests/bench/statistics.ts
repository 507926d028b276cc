import { performance } from 'node:perf_hooks'
import { ZoneStatistics } from '../../lib/statistics/zone-statistics.ts'
import { statisticsOptions } from '../../lib/statistics/zone-statistics-options.ts'
import { composeZoneNow } from '../../lib/verdicts/zone-now.ts'
import { epochMs, monotonicMs } from '../../shared/brand.ts'
import type { ZoneFrame } from '../../shared/sample.ts'
import { normal } from '../statistics/noise-sources.ts'
import { channelsOf, pairAt, plantWith, sampleAt, zoneOf } from '../statistics/plant.ts'
import type { Measured } from './bench.ts'

/** Frames made before the clock starts, so that only `add` is timed; 100/s with a speed channel. */
const FRAMES = 200_000
const ROUNDS = 5
const config = plantWith({ force_factor: 1.5, cell_distance_m: 1.6, speed: 'speed' })

function newStatistics(): ZoneStatistics {
  return new ZoneStatistics(statisticsOptions(zoneOf(config), channelsOf(config), () => 100))
}

function makeFrames(): ZoneFrame[] {
  const noise = normal(1)
  return Array.from({ length: FRAMES }, (_, i) => {
    const t = 1_000_000 + i * 10
    return pairAt(
      t,
      { drive: sampleAt(t, 95 + noise()), operator: sampleAt(t, 105 + noise()) },
      { speed: sampleAt(t, 5) },
    )
  })
}

/** Samples of cells per second through `ZoneStatistics.add`, one core: the best of a few rounds. */
function samplesPerSecond(frames: readonly ZoneFrame[]): number {
  let best = 0
  for (let round = 0; round < ROUNDS; round += 1) {
    const statistics = newStatistics()
    const start = performance.now()
    for (const frame of frames) statistics.add(frame)
    best = Math.max(best, (2 * frames.length) / ((performance.now() - start) / 1000))
  }
  return best
}

/** Milliseconds for one whole picture of a zone whose windows are full. */
function pictureMs(frames: readonly ZoneFrame[]): number {
  const statistics = newStatistics()
  for (const frame of frames) statistics.add(frame)
  const now = monotonicMs(frames.at(-1)?.tMs ?? 0)
  const pictures = 300
  const start = performance.now()
  for (let i = 0; i < pictures; i += 1)
    composeZoneNow({
      zone: zoneOf(config),
      channels: channelsOf(config),
      snapshot: statistics.snapshot(now),
      now,
      toEpoch: (t) => epochMs(t),
    })
  return (performance.now() - start) / pictures
}

/** Bytes of heap a zone's statistics grow by between its 10th and its last minute. */
function growthBytes(): number {
  const collect = (globalThis as { gc?: () => void }).gc
  if (collect === undefined) return Number.NaN
  const statistics = newStatistics()
  const noise = normal(2)
  const minute = (m: number): void => {
    for (let i = 0; i < 6000; i += 1) {
      const t = 1_000_000 + m * 60_000 + i * 10
      statistics.add(pairAt(t, { drive: sampleAt(t, 95 + noise()), operator: sampleAt(t, 105 + noise()) }))
    }
  }
  const heap = (): number => {
    collect()
    return process.memoryUsage().heapUsed
  }
  for (let m = 0; m < 40; m += 1) minute(m)
  const before = heap()
  for (let m = 40; m < 140; m += 1) minute(m)
  return heap() - before
}

export async function run(): Promise<Measured[]> {
  const frames = makeFrames()
  const growth = growthBytes()
  return [
    {
      name: 'statistics: samples through ZoneStatistics.add, one core',
      value: samplesPerSecond(frames),
      unit: 'samples/s',
      note: `target ≥ 1 000 000; two cells and speed, ${FRAMES} frames, best of ${ROUNDS}`,
    },
    {
      name: 'statistics and verdicts: one picture of a zone with full windows',
      value: pictureMs(frames),
      unit: 'ms',
      note: 'four a second are asked for',
    },
    ...(Number.isNaN(growth)
      ? []
      : [
          {
            name: 'statistics: heap growth of one zone over 100 min at 100/s',
            value: growth / 1024,
            unit: 'KiB',
            note: 'target: none; node --expose-gc',
          },
        ]),
  ]
}
