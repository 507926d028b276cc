import { describe, expect, test, vi } from 'vitest'
import { batchSeries } from '../../lib/statistics/batch-series.ts'
import { BivariateMoments } from '../../lib/statistics/bivariate-moments.ts'
import { estimateMean } from '../../lib/statistics/mean-estimate.ts'
import { Moments } from '../../lib/statistics/moments.ts'
import { NoiseBlocks } from '../../lib/statistics/noise-blocks.ts'
import { estimateRatePerHour } from '../../lib/statistics/rate-estimate.ts'
import { sideDifference } from '../../lib/statistics/side-difference.ts'
import { averagingBuckets } from '../../lib/statistics/side-statistics.ts'
import { t95 } from '../../lib/statistics/student-t.ts'
import { TimeBuckets } from '../../lib/statistics/time-buckets.ts'
import { ar1, filteredCell, normal } from './noise-sources.ts'

/**
 * How often the 95 % interval value ± t95(ν)·u holds the truth, over seeded runs. The truth is known by
 * construction. 2000 runs tell a coverage to ± 0.5 % (1 σ),
 * the 10 000 of the mean, the figure everything rests on, to ± 0.2 %.
 */
const RUNS = 2000
const RUNS_OF_MEAN = 10_000
// Time never decides: a busy machine takes several times longer.
vi.setConfig({ testTimeout: 120_000 })

interface Trial {
  readonly value: number
  readonly u: number
  readonly dof: number
}

function coverage(name: string, truth: number, trial: (seed: number) => Trial | undefined, runs = RUNS): number {
  let held = 0
  for (let run = 0; run < runs; run += 1) {
    const told = trial(1000 + run)
    if (told === undefined) throw new Error(`${name}: nothing told in run ${run}`)
    if (Math.abs(told.value - truth) <= t95(told.dof) * told.u) held += 1
  }
  const percent = (100 * held) / runs
  console.log(`coverage of nominal 95 %, ${name}: ${percent.toFixed(1)} % of ${runs} runs`)
  return percent
}

type Source = (seed: number) => () => number
const white: Source = (seed) => normal(seed)
const correlated =
  (phi: number): Source =>
  (seed) =>
    ar1(seed, phi)
const cell =
  (rateHz: number, cornerHz: number, turnHz: number, amplitude: number): Source =>
  (seed) =>
    filteredCell(seed, { rateHz, cornerHz, turnHz, amplitude })

function meanTrial(source: Source, rateHz: number, seconds: number) {
  return (seed: number): Trial | undefined => {
    const next = source(seed)
    const window = averagingBuckets(30_000, () => new Moments())
    for (let i = 0; i < seconds * rateHz; i += 1) window.touch((i * 1000) / rateHz).add(next())
    return estimateMean(
      batchSeries(window.since(-1), (m) => m.mean),
      1,
    )
  }
}

describe('mean over the averaging window (30 s)', () => {
  for (const [name, source, rateHz, seconds] of [
    ['white, 100/s, 30 s', white, 100, 30],
    ['white, 10/s, 30 s', white, 10, 30],
    ['white, 10/s, first 6 s', white, 10, 6],
    ['AR(1) correlation time 0.1 s, 100/s, 30 s', correlated(0.9), 100, 30],
    ['AR(1) correlation time 0.5 s, 100/s, 30 s', correlated(0.98), 100, 30],
    ['AR(1) correlation time 0.45 s, 10/s, 30 s', correlated(0.8), 10, 30],
    ['AR(1) correlation time 0.45 s, 10/s, first 10 s', correlated(0.8), 10, 10],
    ['cell behind a 5 Hz low-pass, 5.3 turns/s at 3 σ, 100/s, 30 s', cell(100, 5, 5.3, 3), 100, 30],
    ['cell behind a 1 Hz low-pass, 2.1 turns/s at 2 σ, 100/s, 30 s', cell(100, 1, 2.1, 2), 100, 30],
    ['cell behind a 5 Hz low-pass, turns aliased at 20/s, 30 s', cell(20, 5, 10.6, 2), 20, 30],
  ] satisfies [string, Source, number, number][])
    test(`${name}: 93 to 97 %`, () => {
      const percent = coverage(name, 0, meanTrial(source, rateHz, seconds), RUNS_OF_MEAN)
      expect(percent).toBeGreaterThanOrEqual(93)
      expect(percent).toBeLessThanOrEqual(97)
    })
  test('noise as slow as 1 s is covered a little less, and never under 91 %', () => {
    const percent = coverage('AR(1) correlation time 1 s, 100/s, 30 s', 0, meanTrial(correlated(0.99), 100, 30))
    expect(percent).toBeGreaterThanOrEqual(91)
    expect(percent).toBeLessThanOrEqual(97)
  })
})

test('side difference of strongly common motion: 93 to 97 %, and narrower than from the sides apart', () => {
  const apart: number[] = []
  const percent = coverage('side difference, common 5 N against own 0.5 N', 0.1, (seed) => {
    const common = ar1(seed, 0.95)
    const ownDrive = normal(seed + 50_000)
    const ownOperator = normal(seed + 90_000)
    const window = averagingBuckets(30_000, () => new BivariateMoments())
    for (let i = 0; i < 600; i += 1) {
      const load = 100 + 5 * common()
      window.touch(i * 50).add(0.9 * load + 0.5 * ownDrive(), 1.1 * load + 0.5 * ownOperator())
    }
    const told = sideDifference(window.since(-1), { drive: 1, operator: 1 })
    if (told !== undefined) apart.push(told.u)
    return told
  })
  expect(percent).toBeGreaterThanOrEqual(93)
  expect(percent).toBeLessThanOrEqual(97)
  const rms = Math.sqrt(apart.reduce((sum, u) => sum + u * u, 0) / apart.length)
  // By hand: I's scatter is (1/S)·√((1 − I)² + (1 + I)²)·0.5/√600 with S = 200; the common 5 N cancels.
  expect(rms).toBeGreaterThan((0.9 * (Math.sqrt(0.9 ** 2 + 1.1 ** 2) * 0.5)) / 200 / Math.sqrt(600))
  expect(rms).toBeLessThan((1.1 * Math.sqrt(0.9 ** 2 + 1.1 ** 2) * 0.5) / 200 / Math.sqrt(600))
})

describe('least-squares rate over the drift window', () => {
  const RATE = 5
  function rateTrial(source: Source, rateHz: number, seconds: number) {
    return (seed: number): Trial | undefined => {
      const next = source(seed)
      const lastWidthMs = 1_800_000 / 128
      const window = new TimeBuckets({
        firstWidthMs: lastWidthMs / 16,
        lastWidthMs,
        capacity: 129,
        make: () => new Moments(),
      })
      for (let i = 0; i < seconds * rateHz; i += 1)
        window.touch((i * 1000) / rateHz).add(next() + (RATE * i) / rateHz / 3600)
      return estimateRatePerHour(batchSeries(window.since(-1), (m) => m.mean))
    }
  }
  for (const [name, source, rateHz, seconds] of [
    ['white, 10/s, 20 s', white, 10, 20],
    ['white, 10/s, 5 min', white, 10, 300],
    ['AR(1) correlation time 0.45 s, 10/s, 20 s', correlated(0.8), 10, 20],
    ['AR(1) correlation time 0.45 s, 10/s, 5 min', correlated(0.8), 10, 300],
    ['AR(1) correlation time 10 s, 1/s, 30 min', correlated(0.905), 1, 1800],
    ['cell behind a 5 Hz low-pass, turns aliased at 20/s, 1 min', cell(20, 5, 10.6, 2), 20, 60],
  ] satisfies [string, Source, number, number][])
    test(`${name}: 93 to 97 %`, () => {
      const percent = coverage(`rate, ${name}`, RATE, rateTrial(source, rateHz, seconds))
      expect(percent).toBeGreaterThanOrEqual(93)
      expect(percent).toBeLessThanOrEqual(97)
    })
})

describe('noise (σ after slow motion is removed), 2 s blocks over 30 s', () => {
  function noiseTrial(source: Source, rateHz: number) {
    return (seed: number): Trial | undefined => {
      const next = source(seed)
      const blocks = new NoiseBlocks(2000, 30_000)
      for (let i = 0; i <= 30 * rateHz; i += 1) blocks.add((i * 1000) / rateHz, next())
      const told = blocks.estimate(-1)
      return told === undefined ? undefined : { value: told.sigma, u: told.u, dof: told.dof }
    }
  }
  /** σ is what the definition gives on a record of 50 000 s; for white noise it is 1. */
  function longRecord(source: Source, rateHz: number): number {
    const next = source(1)
    const blocks = new NoiseBlocks(2000, 50_000_000)
    for (let i = 0; i <= 50_000 * rateHz; i += 1) blocks.add((i * 1000) / rateHz, next())
    return blocks.estimate(-1)?.sigma ?? Number.NaN
  }
  test('white noise: σ is 1, and 93 to 97 %', () => {
    const percent = coverage('noise, white, 20/s', 1, noiseTrial(white, 20))
    expect(percent).toBeGreaterThanOrEqual(93)
    expect(percent).toBeLessThanOrEqual(97)
  })
  test('noise correlated over 0.1 s: 92 to 97 %', () => {
    const source = correlated(0.607)
    const percent = coverage('noise, AR(1) 0.1 s, 20/s', longRecord(source, 20), noiseTrial(source, 20))
    expect(percent).toBeGreaterThanOrEqual(92)
    expect(percent).toBeLessThanOrEqual(97)
  })
})
