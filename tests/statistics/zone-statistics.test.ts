import { describe, expect, test } from 'vitest'
import type { Outcome, Quantity } from '../../lib/statistics/zone-snapshot.ts'
import { ZoneStatistics } from '../../lib/statistics/zone-statistics.ts'
import { statisticsOptions } from '../../lib/statistics/zone-statistics-options.ts'
import { monotonicMs } from '../../shared/brand.ts'
import type { ZoneFrame } from '../../shared/sample.ts'
import { ar1, normal } from './noise-sources.ts'
import { channelsOf, pairAt, plantWith, sampleAt, singleAt, zoneOf } from './plant.ts'

type ZoneInput = Parameters<typeof plantWith>[0]

function statistics(zone: ZoneInput = {}, rateHz = 100): ZoneStatistics {
  const config = plantWith(zone)
  return new ZoneStatistics(statisticsOptions(zoneOf(config), channelsOf(config), () => rateHz))
}

const START = 1_000_000
/** `seconds` of both sides at 100/s around their means, with white noise of 0.5 N, seeded. */
function run(
  zone: ZoneStatistics,
  fromMs: number,
  seconds: number,
  means: { drive: number; operator: number },
  extra: (i: number, tMs: number) => Partial<ZoneFrame> = () => ({}),
): number {
  const drive = normal(11)
  const operator = normal(12)
  let t = fromMs
  for (let i = 0; i < seconds * 100; i += 1) {
    t = fromMs + i * 10
    const frame = pairAt(t, {
      drive: sampleAt(t, means.drive + 0.5 * drive()),
      operator: sampleAt(t, means.operator + 0.5 * operator()),
    })
    zone.add({ ...frame, ...extra(i, t) })
  }
  return t
}

function told(outcome: Outcome | null | undefined): Quantity {
  if (outcome?.kind !== 'told') throw new Error(`not told: ${JSON.stringify(outcome)}`)
  return outcome.quantity
}
const why = (outcome: Outcome | undefined): string =>
  outcome === undefined || outcome.kind === 'told' ? '' : outcome.kind === 'waiting' ? outcome.for : outcome.why
const contribution = (quantity: Quantity, name: string): number =>
  quantity.systematic.find((input) => input.name === name)?.contribution ?? Number.NaN

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

describe('bad, missing and late', () => {
  test('only good samples enter: uncertain and bad ones change no figure', () => {
    const clean = statistics()
    const dirty = statistics()
    let t = START
    for (let i = 0; i < 2000; i += 1) {
      t = START + i * 10
      const good = pairAt(t, { drive: sampleAt(t, 90 + (i % 7)), operator: sampleAt(t, 110 + (i % 5)) })
      if (i % 10 === 3) {
        dirty.add(pairAt(t, { drive: sampleAt(t, 5000, 'saturated'), operator: sampleAt(t, 9e9, 'over-range') }))
        continue
      }
      clean.add(good)
      dirty.add(good)
    }
    const now = monotonicMs(t)
    for (const side of [0, 1])
      expect(told(dirty.snapshot(now).sides[side]?.force).value).toBe(
        told(clean.snapshot(now).sides[side]?.force).value,
      )
    expect(told(dirty.snapshot(now).total).value).toBe(told(clean.snapshot(now).total).value)
    expect(told(dirty.snapshot(now).pair?.imbalance).value).toBe(told(clean.snapshot(now).pair?.imbalance).value)
  })
  test('one side gone: it, the total and the side difference are unknown; the other side keeps its figures', () => {
    const zone = statistics()
    const end = run(zone, START, 20, { drive: 90, operator: 110 })
    let t = end
    for (let i = 1; i <= 100; i += 1) {
      t = end + i * 10
      zone.add(pairAt(t, { drive: sampleAt(t, 0, 'wire-break'), operator: sampleAt(t, 110) }))
    }
    const snapshot = zone.snapshot(monotonicMs(t))
    expect(snapshot.sides[0]?.force.kind).toBe('no-data')
    expect(snapshot.sides[0]?.noise.kind).toBe('no-data')
    expect(why(snapshot.total)).toContain('drive side')
    expect(why(snapshot.total)).toContain('the signal is as low as with a broken wire')
    for (const outcome of [snapshot.pair?.imbalance, snapshot.pair?.driftOfSideDifference, snapshot.rateOfTotal])
      expect(outcome?.kind).toBe('no-data')
    expect(told(snapshot.sides[1]?.force).value).toBeCloseTo(110, 0)
  })
  test('silence makes everything unknown once it is older than the stale age, and the live sample stale', () => {
    const zone = statistics()
    const end = run(zone, START, 20, { drive: 90, operator: 110 })
    expect(zone.snapshot(monotonicMs(end + 400)).total.kind).toBe('told')
    const late = zone.snapshot(monotonicMs(end + 600))
    expect(late.total.kind).toBe('no-data')
    expect(late.sides.map((side) => [side.force.kind, side.live.stale])).toEqual([
      ['no-data', true],
      ['no-data', true],
    ])
  })
  test('before the first sample nothing is told and nothing throws', () => {
    const snapshot = statistics().snapshot(monotonicMs(START))
    expect(snapshot.sides[0]?.live.sample).toBeNull()
    expect(why(snapshot.total)).toBe('the drive side has given no sample yet')
    expect(snapshot.steady.forSeconds).toBe(0)
  })
  test('samples that are out of order or come twice change nothing', () => {
    const once = statistics()
    const twice = statistics()
    let t = START
    for (let i = 0; i < 1500; i += 1) {
      t = START + i * 10
      const frame = pairAt(t, { drive: sampleAt(t, 90 + (i % 7)), operator: sampleAt(t, 110 + (i % 5)) })
      once.add(frame)
      twice.add(frame)
      twice.add(frame)
      twice.add(pairAt(t - 55, { drive: sampleAt(t - 55, 400), operator: sampleAt(t - 55, 1) }))
      twice.add(pairAt(Number.NaN, { drive: sampleAt(Number.NaN, 400), operator: sampleAt(Number.NaN, 1) }))
    }
    expect(twice.snapshot(monotonicMs(t))).toEqual(once.snapshot(monotonicMs(t)))
  })
  test('a hole or a bad sample in every noise block leaves no noise figure: never bridged', () => {
    for (const hole of [true, false]) {
      const zone = statistics({ noise_block_s: 1 })
      let t = START
      for (let i = 0; i < 2000; i += 1) {
        t = START + i * 10
        const inHole = i % 90 < (hole ? 6 : 1)
        if (inHole && hole) continue
        const code = inHole ? 'no-answer' : 'good'
        zone.add(pairAt(t, { drive: sampleAt(t, 90, code), operator: sampleAt(t, 110) }))
      }
      const [drive, operator] = zone.snapshot(monotonicMs(t)).sides
      expect(why(drive?.noise)).toBe('collecting unbroken blocks of 1 s: 0 of 4')
      expect(operator?.noise.kind).toBe(hole ? 'waiting' : 'told')
    }
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

describe('slack web', () => {
  test('side difference and percent noise wait and say the limit; force and peak to peak go on', () => {
    const zone = statistics({ slack_below_n: 20 })
    const end = run(zone, START, 20, { drive: 3, operator: 4 })
    const snapshot = zone.snapshot(monotonicMs(end))
    expect(why(snapshot.pair?.imbalance)).toBe('the web is slack: under 20 N')
    expect(why(snapshot.pair?.lineOfPull)).toBe('the web is slack: under 20 N')
    expect(why(snapshot.sides[0]?.noise)).toBe('the web is slack: under 20 N')
    expect(told(snapshot.sides[0]?.force).value).toBeCloseTo(3, 0)
    expect(told(snapshot.sides[0]?.peakToPeak).value).toBeGreaterThan(1)
  })
  test('coming under tension begins the windows anew: no mean mixes slack and taut', () => {
    const zone = statistics({ slack_below_n: 20 })
    const slackEnd = run(zone, START, 20, { drive: 1, operator: 1 })
    const end = run(zone, slackEnd + 10, 8, { drive: 90, operator: 110 })
    const snapshot = zone.snapshot(monotonicMs(end))
    expect(told(snapshot.total).value).toBeCloseTo(200, 0)
    expect(told(snapshot.pair?.imbalance).value).toBeCloseTo(10, 0)
    expect(snapshot.steady.forSeconds).toBeLessThan(8.1)
  })
  test('a slack web that flutters a little over the limit stays slack', () => {
    const zone = statistics({ slack_below_n: 20 })
    const slackEnd = run(zone, START, 10, { drive: 5, operator: 5 })
    const flutter = run(zone, slackEnd + 10, 10, { drive: 11, operator: 11 })
    expect(why(zone.snapshot(monotonicMs(flutter)).pair?.imbalance)).toBe('the web is slack: under 20 N')
    const taut = run(zone, flutter + 10, 10, { drive: 13, operator: 13 })
    expect(zone.snapshot(monotonicMs(taut)).pair?.imbalance.kind).toBe('told')
    const back = run(zone, taut + 10, 10, { drive: 11, operator: 11 })
    expect(zone.snapshot(monotonicMs(back)).pair?.imbalance.kind).toBe('told')
  })
  test('default limit is 2 % of the summed capacity, as web tension where the force factor is known', () => {
    const limit = (zone: ZoneInput) => {
      const config = plantWith(zone)
      return statisticsOptions(zoneOf(config), channelsOf(config), () => 100).slackBelowN
    }
    expect(limit({})).toBeCloseTo(20, 12)
    expect(limit({ force_factor: -2 })).toBeCloseTo(10, 12)
  })
  test('a sum that cannot be told from zero gives no side difference even with the slack limit at 0', () => {
    const zone = statistics({ slack_below_n: 0 })
    const end = run(zone, START, 20, { drive: -5, operator: 5.1 })
    expect(why(zone.snapshot(monotonicMs(end)).pair?.imbalance)).toContain('cannot be told from zero')
  })
})

describe('a web pulls one way only', () => {
  const CHECK = 'check arrow direction, polarity, sign of gain, and zero'
  const DRIVE = `the drive side pulls away from its arrow: ${CHECK}`
  const OPERATOR = `the operator side pulls away from its arrow: ${CHECK}`
  const BOTH = `both sides pull away from their arrows: ${CHECK}`
  const picture = (zone: ZoneInput, means: { drive: number; operator: number }) => {
    const made = statistics({ cell_distance_m: 1.6, drift_s: 30, ...zone })
    return made.snapshot(monotonicMs(run(made, START, 25, means)))
  }
  // 500 N cells: 2 % are 10 N a side, and 20 N of the total.
  test.each([
    ['both along', { drive: 90, operator: 110 }, undefined],
    ['drive side against', { drive: -90, operator: 110 }, DRIVE],
    ['operator side against', { drive: 90, operator: -110 }, OPERATOR],
    ['both against', { drive: -90, operator: -110 }, BOTH],
    ['drive side against and the larger', { drive: -150, operator: 60 }, DRIVE],
    ['a little more than 2 % of capacity', { drive: -11, operator: 110 }, DRIVE],
    ['a little less', { drive: -9, operator: 110 }, undefined],
  ])('%s: what compares, divides or follows waits with the cause; forces stay', (_, means, cause) => {
    const { sides, pair } = picture({}, means)
    expect(sides.map(({ force }) => Math.round(told(force).value))).toEqual([means.drive, means.operator])
    expect(sides.map(({ peakToPeak }) => peakToPeak.kind)).toEqual(['told', 'told'])
    const judged = [pair?.imbalance, pair?.lineOfPull, pair?.driftOfSideDifference, sides[1]?.noise]
    for (const outcome of judged)
      if (cause === undefined) expect(outcome?.kind).toBe('told')
      else expect(outcome).toEqual({ kind: 'waiting', for: cause })
  })
  test('a small total of either sign is slack, and a small negative side beside a small positive one too', () => {
    for (const means of [
      { drive: 3, operator: 4 },
      { drive: -3, operator: -4 },
      { drive: -8, operator: 9 },
    ])
      expect(why(picture({}, means).pair?.imbalance)).toBe('the web is slack: under 20 N')
  })
  test('a total beyond minus a slack limit of the site is no slack web', () => {
    expect(why(picture({ slack_below_n: 6 }, { drive: -4, operator: -4 }).pair?.imbalance)).toBe(BOTH)
  })
  test('with the slack limit at 0 a sum told from zero and negative is still not judged, nor a side’s noise', () => {
    const { pair, sides } = picture({ slack_below_n: 0 }, { drive: -6, operator: -7 })
    for (const outcome of [pair?.imbalance, pair?.lineOfPull, pair?.driftOfSideDifference])
      expect(why(outcome)).toBe(BOTH)
    expect(why(sides[0]?.noise)).toBe(DRIVE)
  })
  test('a negative force factor says that the web rightly pulls against the arrow: the resulting tension counts', () => {
    const right = picture({ force_factor: -1.5 }, { drive: -90, operator: -110 })
    expect(told(right.total).value).toBeCloseTo(200 / 1.5, 0)
    expect(told(right.pair?.imbalance).value).toBeCloseTo(10, 0)
    expect(told(right.pair?.lineOfPull).value).toBeCloseTo(0.08, 2)
    expect(told(right.sides[0]?.noise).value).toBeGreaterThan(0)
    expect(why(picture({ force_factor: -1.5 }, { drive: 90, operator: 110 }).pair?.imbalance)).toBe(BOTH)
    const mixed = picture({ force_factor: { drive_side: -1.5, operator_side: 1.5 } }, { drive: -90, operator: 110 })
    expect(told(mixed.pair?.imbalance).value).toBeCloseTo(10, 0)
  })
  test('a side turned round begins the windows anew: no mean mixes before and after', () => {
    const zone = statistics()
    const before = run(zone, START, 20, { drive: 90, operator: 110 })
    const after = run(zone, before + 10, 8, { drive: -90, operator: 110 })
    expect(told(zone.snapshot(monotonicMs(after)).sides[0]?.force).value).toBeCloseTo(-90, 0)
  })
  test('one cell of a cantilever roller says the same', () => {
    const zone = statistics({ cells: { single: 'ds' } })
    let t = START
    const noise = normal(3)
    for (let i = 0; i < 1500; i += 1) {
      t = START + i * 10
      zone.add(singleAt(t, sampleAt(t, -100 + noise())))
    }
    const [side] = zone.snapshot(monotonicMs(t)).sides
    expect(told(side?.force).value).toBeCloseTo(-100, 0)
    expect(why(side?.noise)).toBe(`the cell pulls away from its arrow: ${CHECK}`)
  })
})

describe('what is not good', () => {
  test('makes the side and everything that needs it no data, with the cause in plain words', () => {
    const causes = [
      ['over-capacity', 'the force is over the rated capacity of the cell'],
      ['no-answer', 'the device does not answer'],
      ['frozen', 'the value stands still'],
    ] as const
    for (const [code, words] of causes) {
      const zone = statistics()
      const end = run(zone, START, 20, { drive: 90, operator: 110 })
      let t = end
      for (let i = 1; i <= 100; i += 1) {
        t = end + i * 10
        zone.add(pairAt(t, { drive: sampleAt(t, 600, code), operator: sampleAt(t, 110) }))
      }
      const { sides, total, pair, rateOfTotal } = zone.snapshot(monotonicMs(t))
      const outcomes = [sides[0]?.force, sides[0]?.noise, total, rateOfTotal, pair?.imbalance, pair?.lineOfPull]
      for (const outcome of outcomes)
        expect(outcome).toEqual({
          kind: 'no-data',
          why: `the drive side has given no good sample for 1 s: ${words}`,
        })
      expect(sides[1]?.force.kind).toBe('told')
    }
  })
})

describe('steady running', () => {
  const withSpeed = (speed: (i: number) => number) => (i: number, t: number) => ({
    aux: { speed: sampleAt(t, speed(i)) },
  })
  test('a change of speed beyond the limit begins the window anew and says what it waits for', () => {
    const zone = statistics({ speed: 'speed' })
    const before = run(
      zone,
      START,
      40,
      { drive: 90, operator: 110 },
      withSpeed(() => 5),
    )
    expect(zone.snapshot(monotonicMs(before)).steady.state).toBe('steady')
    const after = run(
      zone,
      before + 10,
      2,
      { drive: 45, operator: 55 },
      withSpeed(() => 5.2),
    )
    const early = zone.snapshot(monotonicMs(after))
    expect(early.steady.state).toBe('not-steady')
    expect(early.steady.sentence).toMatch(/^Not steady: the speed changed by .* % \(limit 1 %\); about \d+ s more\.$/)
    expect(why(early.total)).toMatch(/^not steady: the speed changed/)
    const later = run(
      zone,
      after + 10,
      10,
      { drive: 45, operator: 55 },
      withSpeed(() => 5.2),
    )
    const settled = zone.snapshot(monotonicMs(later))
    expect(settled.steady.state).toBe('steady')
    expect(told(settled.total).value).toBeCloseTo(100, 0)
  })
  test('a change within the limit, noise of the encoder and a standing machine change nothing', () => {
    for (const speed of [
      (i: number) => 5 + 0.0001 * Math.min(i, 400),
      (i: number) => 5 + 0.04 * Math.sin(i * 1.7),
      (i: number) => 0.002 * Math.sin(i),
    ]) {
      const zone = statistics({ speed: 'speed' })
      const end = run(zone, START, 40, { drive: 90, operator: 110 }, withSpeed(speed))
      const { steady } = zone.snapshot(monotonicMs(end))
      expect(steady.state).toBe('steady')
      expect(steady.forSeconds).toBeCloseTo(40, 0)
    }
  })
  test('a slow creep that stays within the limit over any one window is steady for ever', () => {
    const zone = statistics({ speed: 'speed' })
    const end = run(
      zone,
      START,
      300,
      { drive: 90, operator: 110 },
      withSpeed((i) => 5 * (1 + (0.02 * i) / 30_000)),
    )
    expect(zone.snapshot(monotonicMs(end)).steady.forSeconds).toBeGreaterThan(299)
  })
  test('is assumed only where the zone has neither a speed nor a reference channel', () => {
    const bare = statistics()
    const end = run(bare, START, 10, { drive: 90, operator: 110 })
    const { steady, unjudged } = bare.snapshot(monotonicMs(end))
    expect(steady).toMatchObject({
      state: 'assumed',
      sentence: 'No speed or reference channel: steady running is assumed.',
    })
    expect(unjudged).toBeUndefined()
  })
  test('is unknown when a channel of the zone gives nothing good, at first or later', () => {
    const sentence = 'The speed gives no good sample: nobody knows whether the web runs steadily.'
    const dead = statistics({ speed: 'speed' })
    const last = run(dead, START, 10, { drive: 90, operator: 110 })
    expect(dead.snapshot(monotonicMs(last)).steady).toMatchObject({ state: 'unknown', sentence })
    const lost = statistics({ speed: 'speed' })
    const before = run(
      lost,
      START,
      20,
      { drive: 90, operator: 110 },
      withSpeed(() => 5),
    )
    expect(lost.snapshot(monotonicMs(before)).unjudged).toBeUndefined()
    const bad = (_: number, t: number) => ({ aux: { speed: sampleAt(t, 5, 'no-answer') } })
    const after = lost.snapshot(monotonicMs(run(lost, before + 10, 10, { drive: 90, operator: 110 }, bad)))
    expect(after.steady).toMatchObject({ state: 'unknown', sentence })
    expect(after.unjudged).toBe('the speed gives no good sample: nobody knows whether the web runs steadily')
    expect(after.pair?.imbalance.kind).toBe('told')
  })
  test('is not claimed of a web whose cells are all lost, whatever the speed does', () => {
    for (const zone of [statistics({ speed: 'speed' }), statistics()]) {
      const end = run(
        zone,
        START,
        20,
        { drive: 90, operator: 110 },
        withSpeed(() => 5),
      )
      let t = end
      for (let i = 1; i <= 100; i += 1) {
        t = end + i * 10
        const frozen = sampleAt(t, 90, 'frozen')
        zone.add(pairAt(t, { drive: frozen, operator: frozen }, { speed: sampleAt(t, 5) }))
      }
      expect(zone.snapshot(monotonicMs(t)).steady).toMatchObject({
        state: 'unknown',
        sentence: 'The load cells give no good sample: nobody can say whether the web runs.',
      })
    }
  })
})

describe('first figures', () => {
  test('wait with the seconds they need, then come', () => {
    const zone = statistics()
    const end = run(zone, START, 2, { drive: 90, operator: 110 })
    expect(why(zone.snapshot(monotonicMs(end)).total)).toMatch(/^collecting samples: about [1-4] s more$/)
    const later = run(zone, end + 10, 5, { drive: 90, operator: 110 })
    expect(zone.snapshot(monotonicMs(later)).total.kind).toBe('told')
  })
  test('a window with too few samples says which settings to raise', () => {
    const zone = statistics({ average_s: 5 }, 1)
    let t = START
    for (let i = 0; i < 60; i += 1) {
      t = START + i * 1000
      zone.add(pairAt(t, { drive: sampleAt(t, 90), operator: sampleAt(t, 110) }))
    }
    expect(why(zone.snapshot(monotonicMs(t)).total)).toContain('raise average_s or rate_hz')
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

describe('a side that comes back after a loss', () => {
  test('begins every window anew: no figure mixes what was before with what is after', () => {
    const zone = statistics()
    const lost = run(zone, START, 20, { drive: 90, operator: 110 })
    const back = run(zone, lost + 3000, 8, { drive: 190, operator: 210 })
    const snapshot = zone.snapshot(monotonicMs(back))
    expect(told(snapshot.sides[0]?.force).value).toBeCloseTo(190, 0)
    expect(told(snapshot.total).value).toBeCloseTo(400, 0)
    expect(told(snapshot.pair?.imbalance).value).toBeCloseTo(5, 0)
  })
  test('does so when only one side was lost', () => {
    const zone = statistics()
    const end = run(zone, START, 20, { drive: 90, operator: 110 })
    let t = end
    for (let i = 1; i <= 100; i += 1) {
      t = end + i * 10
      zone.add(pairAt(t, { drive: sampleAt(t, 0, 'wire-break'), operator: sampleAt(t, 110) }))
    }
    const back = run(zone, t + 10, 8, { drive: 190, operator: 110 })
    const snapshot = zone.snapshot(monotonicMs(back))
    expect(told(snapshot.total).value).toBeCloseTo(300, 0)
    expect(told(snapshot.sides[1]?.force).window.seconds).toBeLessThan(8.1)
  })
  test('a hole shorter than the stale age is no loss: the window goes on', () => {
    const zone = statistics()
    const end = run(zone, START, 20, { drive: 90, operator: 110 })
    const next = run(zone, end + 400, 8, { drive: 90, operator: 110 })
    expect(told(zone.snapshot(monotonicMs(next)).total).window.seconds).toBeGreaterThan(25)
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
