import { describe, expect, test } from 'vitest'
import { ZoneStatistics } from '../../lib/statistics/zone-statistics.ts'
import { statisticsOptions } from '../../lib/statistics/zone-statistics-options.ts'
import { composeZoneNow } from '../../lib/verdicts/zone-now.ts'
import { epochMs, monotonicMs } from '../../shared/brand.ts'
import { type Figure, type ZoneNow, zoneNow } from '../../shared/schemas/now.ts'
import { normal } from '../statistics/noise-sources.ts'
import { channelsOf, pairAt, plantWith, sampleAt, singleAt, zoneOf } from '../statistics/plant.ts'

const OFFSET = 1_700_000_000_000
const START = 1_000_000

function plant(zone: Parameters<typeof plantWith>[0] = {}) {
  const config = plantWith(zone)
  const channels = channelsOf(config)
  const statistics = new ZoneStatistics(statisticsOptions(zoneOf(config), channels, () => 100))
  const now = (tMs: number): ZoneNow =>
    composeZoneNow({
      zone: zoneOf(config),
      channels,
      snapshot: statistics.snapshot(monotonicMs(tMs)),
      now: monotonicMs(tMs),
      toEpoch: (t) => epochMs(t + OFFSET),
    })
  return { statistics, now }
}

function runPair(statistics: ZoneStatistics, seconds: number, drive: number, operator: number): number {
  const noise = normal(21)
  let t = START
  for (let i = 0; i < seconds * 100; i += 1) {
    t = START + i * 10
    const speed = { speed: sampleAt(t, 5) }
    statistics.add(pairAt(t, { drive: sampleAt(t, drive + noise()), operator: sampleAt(t, operator + noise()) }, speed))
  }
  return t
}

/** Every figure in a picture, by its path. */
function figuresIn(now: ZoneNow): Map<string, Figure> {
  const found = new Map<string, Figure>()
  const walk = (value: unknown, path: string): void => {
    if (value === null || typeof value !== 'object') return
    if ('verdict' in value && 'why' in value) found.set(path, value as Figure)
    else for (const [key, inner] of Object.entries(value)) walk(inner, path === '' ? key : `${path}.${key}`)
  }
  walk(now, '')
  return found
}

describe('two cells running', () => {
  const { statistics, now } = plant({ force_factor: 1.5, cell_distance_m: 1.6, speed: 'speed', drift_s: 120 })
  const end = runPair(statistics, 60, 95, 105)
  const picture = now(end)

  test('is a valid body of /api/zones/ID/now', () => {
    expect(zoneNow.parse(picture)).toEqual(picture)
  })
  test('the newest speed has its U, 2 × the assumed 0.5 % of 5 m/s, and is marked so; one sample of a cell has none', () => {
    expect(picture.aux.speed?.U).toBeCloseTo(0.05, 12)
    expect(picture.aux.speed?.assumed).toBe(true)
    expect('drive_side' in picture.sides && picture.sides.drive_side.live).not.toHaveProperty('U')
  })
  test('every figure is told with value, unit, uncertainty, k, window, time, verdict, formula and source', () => {
    const figures = figuresIn(picture)
    expect([...figures.keys()].sort()).toEqual([
      'driftOfSideDifference',
      'imbalance',
      'lineOfPull',
      'rateOfTotal',
      'sides.drive_side.force',
      'sides.drive_side.noise',
      'sides.drive_side.peakToPeak',
      'sides.drive_side.tension',
      'sides.operator_side.force',
      'sides.operator_side.noise',
      'sides.operator_side.peakToPeak',
      'sides.operator_side.tension',
      'skew',
      'total',
    ])
    for (const [path, figure] of figures) {
      expect(figure.value, path).not.toBeNull()
      expect(figure.U, path).toBeCloseTo((figure.k ?? 0) * (figure.u ?? 0), 12)
      expect(figure.k, path).toBeGreaterThanOrEqual(2)
      expect(figure.waiting, path).toBeNull()
      expect(figure.timeMs, path).toBeGreaterThan(OFFSET + end - 2100)
      expect(figure.timeMs, path).toBeLessThanOrEqual(OFFSET + end)
      expect(figure.why.formula.length, path).toBeGreaterThan(10)
      expect(figure.why.source.length, path).toBeGreaterThan(10)
      expect(figure.why.inputs.length, path).toBeGreaterThan(0)
      expect(figure.verdict.sentence, path).not.toBe('')
    }
  })
  test('only side difference, noise and its drift carry a limit, with where it came from', () => {
    const limited = [...figuresIn(picture)].filter(([, figure]) => figure.limit !== null)
    expect(limited.map(([path]) => path).sort()).toEqual([
      'driftOfSideDifference',
      'imbalance',
      'sides.drive_side.noise',
      'sides.operator_side.noise',
    ])
    for (const [, figure] of limited) expect(figure.limit?.source).toBe('common practice, no source')
    expect(picture.rateOfTotal.verdict).toMatchObject({ state: 'not-done', reason: { kind: 'no-limit' } })
    expect(picture.total.verdict.reason.kind).toBe('no-limit')
  })
  test('a side difference of 5 % is inside 10 %; noise of 1 N on 95 N stands at its 1 % limit', () => {
    expect(picture.imbalance?.value).toBeCloseTo(5, 0)
    expect(picture.imbalance?.verdict.state).toBe('inside')
    expect(picture.sides).toHaveProperty('drive_side.noise.value')
    const noise = figuresIn(picture).get('sides.drive_side.noise')
    expect(noise?.value).toBeCloseTo(100 / 95, 1)
    expect(noise?.verdict.state).not.toBe('inside')
  })
  test('a drift that more time can settle is undecided and says how long', () => {
    const other = plant({ drift_s: 600 })
    const young = other.now(runPair(other.statistics, 205, 95, 105))
    expect(young.driftOfSideDifference?.verdict.reason.kind).toBe('needs-time')
    expect(young.driftOfSideDifference?.verdict.sentence).toMatch(/^Undecided: needs about \d+ (s|min|h) more\.$/)
  })
  test('a drift before a third of its window is unknown, and says from when it is told', () => {
    const other = plant({})
    const young = other.now(runPair(other.statistics, 60, 95, 105))
    expect(young.driftOfSideDifference?.value).toBeNull()
    expect(young.driftOfSideDifference?.verdict.state).toBe('unknown')
    expect(young.driftOfSideDifference?.waiting).toMatch(/^A rate is told from 10 min on/)
  })
  test('a side difference of 20 % is outside 10 %', () => {
    const other = plant()
    const last = runPair(other.statistics, 40, 80, 120)
    expect(other.now(last).imbalance?.verdict).toMatchObject({
      state: 'outside',
      sentence: 'Outside its limit, uncertainty included.',
    })
  })
  test('without a force factor the total is a force and the sides have no tension', () => {
    const other = plant()
    const last = runPair(other.statistics, 20, 95, 105)
    const bare = other.now(last)
    expect(bare.totalMeans).toBe('force')
    expect([...figuresIn(bare).keys()].filter((path) => path.endsWith('.tension'))).toEqual([])
  })
})

describe('a speed channel that is lost', () => {
  test('leaves the values and takes the verdicts that need steady running', () => {
    const { statistics, now } = plant({ speed: 'speed', drift_s: 30, limits: { drift_percent_per_hour: 1000 } })
    const judged = (picture: ZoneNow) => [...figuresIn(picture)].filter(([, { limit }]) => limit !== null)
    const before = now(runPair(statistics, 30, 95, 105))
    expect(before.imbalance?.verdict.state).toBe('inside')
    const noise = normal(22)
    let t = START
    for (let i = 3000; i < 4000; i += 1) {
      t = START + i * 10
      statistics.add(pairAt(t, { drive: sampleAt(t, 95 + noise()), operator: sampleAt(t, 105 + noise()) }))
    }
    const picture = now(t)
    expect(zoneNow.parse(picture)).toEqual(picture)
    expect(picture.steady.state).toBe('unknown')
    const why = 'the speed gives no good sample: nobody knows whether the web runs steadily'
    for (const [path, figure] of judged(picture)) {
      expect(figure.value, path).not.toBeNull()
      expect(figure.U, path).not.toBeNull()
      expect(figure.verdict, path).toEqual({
        state: 'unknown',
        reason: { kind: 'waiting', for: why },
        sentence: `Unknown: ${why}.`,
      })
    }
    expect(judged(picture)).toHaveLength(4)
    expect(picture.total.verdict.reason.kind).toBe('no-limit')
  })
})

describe('unknown', () => {
  test('after silence no figure is a number, no verdict is inside, and every one says why', () => {
    const { statistics, now } = plant({ force_factor: 1.5, cell_distance_m: 1.6, speed: 'speed' })
    const end = runPair(statistics, 40, 95, 105)
    const picture = now(end + 5000)
    expect(zoneNow.parse(picture)).toEqual(picture)
    for (const [path, figure] of figuresIn(picture)) {
      expect(figure.value, path).toBeNull()
      expect([figure.u, figure.U, figure.k, figure.window, figure.timeMs], path).toEqual([null, null, null, null, null])
      expect(figure.verdict.state, path).toBe('unknown')
      expect(figure.verdict.reason.kind, path).toBe('no-data')
      expect(figure.waiting, path).toMatch(/has given no good sample for 5 s: nothing new came\.$/)
    }
    expect(picture.aux.speed).toMatchObject({ value: null, code: 'stale', timeMs: OFFSET + end })
    const drive = 'drive_side' in picture.sides ? picture.sides.drive_side.live : undefined
    expect(drive).toMatchObject({ value: null, raw: null, code: 'stale', timeMs: OFFSET + end })
  })
  test('a bad sample has no uncertainty', () => {
    const { statistics, now } = plant({ speed: 'speed' })
    statistics.add(
      pairAt(
        START,
        { drive: sampleAt(START, 100), operator: sampleAt(START, 100) },
        { speed: sampleAt(START, 5, 'wire-break') },
      ),
    )
    expect(now(START + 10).aux.speed).not.toHaveProperty('U')
  })
  test('before the first sample live is starting and every figure unknown', () => {
    const picture = plant({ speed: 'speed' }).now(START)
    expect(zoneNow.parse(picture)).toEqual(picture)
    for (const figure of figuresIn(picture).values()) expect(figure.verdict.state).toBe('unknown')
    expect(picture.aux.speed).toMatchObject({ value: null, code: 'starting', timeMs: null })
  })
  test('a bad live sample has no value but keeps its code, raw number and time', () => {
    const { statistics, now } = plant()
    statistics.add(pairAt(START, { drive: sampleAt(START, 3.2, 'wire-break'), operator: sampleAt(START, 100) }))
    const { sides } = now(START + 10)
    expect('drive_side' in sides ? sides.drive_side.live : undefined).toMatchObject({
      value: null,
      raw: 3.2,
      code: 'wire-break',
      timeMs: OFFSET + START,
    })
    expect('operator_side' in sides ? sides.operator_side.live.value : null).toBe(100)
  })
  test('an uncertain live sample is shown and marked', () => {
    const { statistics, now } = plant()
    statistics.add(pairAt(START, { drive: sampleAt(START, 480, 'saturated'), operator: sampleAt(START, 100) }))
    const { sides } = now(START + 10)
    expect('drive_side' in sides ? sides.drive_side.live : undefined).toMatchObject({ value: 480, code: 'saturated' })
  })
  test('a slack web: side difference waits, as a state of its own', () => {
    const { statistics, now } = plant({ slack_below_n: 50 })
    const end = runPair(statistics, 20, 3, 4)
    expect(now(end).imbalance).toMatchObject({
      value: null,
      waiting: 'The web is slack: under 50 N.',
      verdict: { state: 'unknown', reason: { kind: 'waiting', for: 'the web is slack: under 50 N' } },
    })
  })
})

test('a zone with one cell has no side difference, line of pull, its drift or skew: absent, not null', () => {
  const { statistics, now } = plant({ cells: { single: 'ds' }, force_factor: 2 })
  let t = START
  for (let i = 0; i < 2000; i += 1) {
    t = START + i * 10
    statistics.add(singleAt(t, sampleAt(t, 100 + (i % 3))))
  }
  const picture = now(t)
  expect(zoneNow.parse(picture)).toEqual(picture)
  for (const key of ['imbalance', 'lineOfPull', 'driftOfSideDifference', 'skew']) expect(key in picture).toBe(false)
  expect(Object.keys(picture.sides)).toEqual(['single'])
  expect(picture.total.value).toBeCloseTo(50.5, 1)
  expect(picture.totalMeans).toBe('tension')
})
