import { describe, expect, test } from 'vitest'
import { ZoneStatistics } from '../../lib/statistics/zone-statistics.ts'
import { statisticsOptions } from '../../lib/statistics/zone-statistics-options.ts'
import { monotonicMs } from '../../shared/brand.ts'
import { ar1, normal } from './noise-sources.ts'
import { channelsOf, pairAt, plantWith, sampleAt, singleAt, zoneOf } from './plant.ts'
import { contribution, run, START, statistics, told, why } from './zone-run.ts'

describe('two cells in steady running', () => {
  const zone = statistics({ force_factor: { drive_side: 1.6, operator_side: 2 }, cell_distance_m: 1.6 })
  const now = monotonicMs(run(zone, START, 40, { drive: 90, operator: 110 }) + 5)
  const snapshot = zone.snapshot(now)
  const [drive, operator] = snapshot.sides

  test('force and web tension of each side are the window’s means, T = F/k', () => {
    expect(told(drive?.force).value).toBeCloseTo(90, 0)
    expect(told(drive?.tension).value).toBeCloseTo(90 / 1.6, 0)
    expect(told(operator?.tension).value).toBeCloseTo(110 / 2, 0)
    expect(told(drive?.tension).value).toBeCloseTo(told(drive?.force).value / 1.6, 9)
    expect(told(drive?.force).window.seconds).toBeGreaterThan(29)
    expect(told(drive?.force).window.seconds).toBeLessThanOrEqual(30.5)
  })
  test('random uncertainty of white noise is σ/√n, and n counts as independent', () => {
    const force = told(drive?.force)
    // 0.5/√3000 within the scatter of an estimate on 6 degrees of freedom.
    expect(force.uRandom / (0.5 / Math.sqrt(3000))).toBeGreaterThan(0.4)
    expect(force.uRandom / (0.5 / Math.sqrt(3000))).toBeLessThan(1.8)
    expect(force.window.effectiveSamples).toBeGreaterThan(800)
    expect(force.window.effectiveSamples).toBeLessThanOrEqual(force.window.samples)
  })
  test('systematic parts by hand: gain 0.5 % of F, zero 0.1 % of 500 N, force factor 1 % of T', () => {
    const tension = told(drive?.tension)
    const { value: forceN } = told(drive?.force)
    expect(contribution(tension, 'gain of the drive side')).toBeCloseTo((0.005 * forceN) / 1.6, 9)
    expect(contribution(tension, 'zero of the drive side')).toBeCloseTo(0.5 / 1.6, 9)
    expect(contribution(tension, 'force factor of the drive side')).toBeCloseTo((0.01 * forceN) / 1.6, 9)
  })
  test('total is the sum of the sides’ tensions', () => {
    expect(snapshot.totalMeans).toBe('tension')
    expect(told(snapshot.total).value).toBeCloseTo(told(drive?.tension).value + told(operator?.tension).value, 6)
  })
  test('imbalance is that of the forces, with sensitivities by finite difference', () => {
    const imbalance = told(snapshot.pair?.imbalance)
    const d = told(drive?.force).value
    const o = told(operator?.force).value
    const share = (x: number, y: number) => (100 * (y - x)) / (y + x)
    expect(imbalance.value).toBeCloseTo(share(d, o), 9)
    const h = 1e-4
    const perDrive = Math.abs(share(d + h, o) - share(d - h, o)) / (2 * h)
    const perOperator = Math.abs(share(d, o + h) - share(d, o - h)) / (2 * h)
    expect(contribution(imbalance, 'gain of the drive side')).toBeCloseTo(perDrive * d * 0.005, 6)
    expect(contribution(imbalance, 'zero of the operator side')).toBeCloseTo(perOperator * 0.5, 6)
    expect(contribution(imbalance, 'force factor of the operator side')).toBeCloseTo(perOperator * o * 0.01, 6)
  })
  test('line of pull comes from the tensions where the force factors differ', () => {
    const lineOfPull = told(snapshot.pair?.lineOfPull)
    const d = told(drive?.tension).value
    const o = told(operator?.tension).value
    expect(lineOfPull.value).toBeCloseTo(((o - d) / (o + d)) * 0.8, 9)
  })
  test('noise is 1 σ in % of the mean force, and its peak to peak in N', () => {
    const noise = told(drive?.noise)
    expect(noise.value).toBeGreaterThan((100 * 0.47) / 90)
    expect(noise.value).toBeLessThan((100 * 0.53) / 90)
    expect(noise.systematic.map((input) => input.name)).toEqual(['zero of the drive side'])
    // 3000 normal values span about 6.9 σ (expected range; e.g. Tippett 1925), so 3.4 N.
    expect(told(drive?.peakToPeak).value).toBeGreaterThan(2.7)
    expect(told(drive?.peakToPeak).value).toBeLessThan(4.5)
  })
  test('line of pull of 10 % at 1.6 m is 80 mm with equal force factors', () => {
    const equal = statistics({ force_factor: 1.5, cell_distance_m: 1.6 })
    const end = run(equal, START, 40, { drive: 90, operator: 110 })
    const pair = equal.snapshot(monotonicMs(end)).pair
    expect(told(pair?.lineOfPull).value).toBeCloseTo(0.08, 3)
    expect(told(pair?.lineOfPull).value).toBeCloseTo((told(pair?.imbalance).value / 100) * 0.8, 9)
  })
  test('without a cell distance the line of pull says what is missing', () => {
    const bare = statistics()
    const end = run(bare, START, 20, { drive: 90, operator: 110 })
    const snap = bare.snapshot(monotonicMs(end))
    expect(why(snap.pair?.lineOfPull)).toContain('cell_distance_m')
    expect(snap.totalMeans).toBe('force')
    expect(snap.sides[0]?.tension).toBeNull()
  })
})

describe('drift', () => {
  test('a side difference that creeps at 2 points an hour is told so, and the total’s rate apart from it', () => {
    const zone = statistics({ drift_s: 1800 })
    const common = ar1(5, 0.9)
    const own = normal(6)
    let t = START
    for (let i = 0; i < 1800 * 10; i += 1) {
      t = START + i * 100
      const hours = i / 36_000
      const share = 0.05 + 0.02 * hours
      const total = 200 + 12 * hours + common()
      zone.add(
        pairAt(t, {
          drive: sampleAt(t, (total * (1 - share)) / 2 + 0.05 * own()),
          operator: sampleAt(t, (total * (1 + share)) / 2 + 0.05 * own()),
        }),
      )
    }
    const snapshot = zone.snapshot(monotonicMs(t))
    const drift = told(snapshot.pair?.driftOfSideDifference)
    expect(Math.abs(drift.value - 2)).toBeLessThan(4 * drift.uRandom)
    expect(drift.uRandom).toBeLessThan(0.05)
    const rate = told(snapshot.rateOfTotal)
    expect(Math.abs(rate.value - 12)).toBeLessThan(4 * rate.uRandom)
    expect(drift.window.seconds).toBeGreaterThan(1750)
  })
})

describe('one cell', () => {
  const zone = statistics({ drift_s: 30, cells: { single: 'ds' }, force_factor: 2 })
  let t = START
  const noise = normal(3)
  for (let i = 0; i < 2000; i += 1) {
    t = START + i * 10
    zone.add(singleAt(t, sampleAt(t, 100 + noise())))
  }
  const snapshot = zone.snapshot(monotonicMs(t))
  test('has no side difference, line of pull, drift of it or skew: absent', () => {
    expect('pair' in snapshot).toBe(false)
    expect(snapshot.sides.map((side) => side.side)).toEqual(['single'])
  })
  test('has its tension as the total, noise and a rate', () => {
    expect(told(snapshot.total).value).toBeCloseTo(50, 0)
    expect(told(snapshot.sides[0]?.noise).value).toBeCloseTo(1, 0)
    expect(told(snapshot.rateOfTotal).uRandom).toBeGreaterThan(0)
  })
})

describe('two devices', () => {
  test('sides that never share a frame each have their figures; those of both say why there are none', () => {
    const zone = statistics()
    let t = START
    for (let i = 0; i < 2000; i += 1) {
      t = START + i * 10
      zone.add(i % 2 === 0 ? pairAt(t, { drive: sampleAt(t, 90) }) : pairAt(t, { operator: sampleAt(t, 110) }))
    }
    const snapshot = zone.snapshot(monotonicMs(t))
    expect(snapshot.sides.map((side) => side.force.kind)).toEqual(['told', 'told'])
    expect(why(snapshot.total)).toContain('never read at one instant')
    expect(why(snapshot.pair?.imbalance)).toContain('never read at one instant')
  })
  test('after a long silence a window begins anew and says the seconds it needs', () => {
    const zone = statistics()
    const end = run(zone, START, 20, { drive: 90, operator: 110 })
    const later = run(zone, end + 60_000, 2, { drive: 90, operator: 110 })
    const snapshot = zone.snapshot(monotonicMs(later))
    expect(why(snapshot.total)).toMatch(/^not steady: the operator side was lost for (60 s|1 min); about [1-4] s more$/)
    expect(snapshot.steady.forSeconds).toBeLessThan(2.1)
  })
})

describe('a rate', () => {
  test('waits for a third of the drift window, and says how long', () => {
    const zone = statistics({ drift_s: 90 })
    const early = run(zone, START, 20, { drive: 90, operator: 110 })
    expect(why(zone.snapshot(monotonicMs(early)).rateOfTotal)).toMatch(
      /^a rate is told from 30 s on: about 1[01] s more$/,
    )
    const late = run(zone, early + 10, 15, { drive: 90, operator: 110 })
    expect(zone.snapshot(monotonicMs(late)).pair?.driftOfSideDifference.kind).toBe('told')
  })
  test('is told after 10 min at the latest', () => {
    const zone = statistics({ drift_s: 86_400 }, 10)
    let t = START
    for (let i = 0; i < 6100; i += 1) {
      t = START + i * 100
      zone.add(pairAt(t, { drive: sampleAt(t, 90 + (i % 7)), operator: sampleAt(t, 110 + (i % 5)) }))
      if (i === 5900) expect(why(zone.snapshot(monotonicMs(t)).rateOfTotal)).toContain('from 10 min on')
    }
    expect(zone.snapshot(monotonicMs(t)).rateOfTotal.kind).toBe('told')
  })
})

test('refuses no cell or three', () => {
  const config = plantWith({})
  const options = statisticsOptions(zoneOf(config), channelsOf(config), () => 100)
  expect(() => new ZoneStatistics({ ...options, cells: [] })).toThrow(RangeError)
  expect(() => new ZoneStatistics({ ...options, cells: [...options.cells, ...options.cells] })).toThrow(RangeError)
})
