import { describe, expect, test } from 'vitest'
import { statisticsOptions } from '../../lib/statistics/zone-statistics-options.ts'
import { monotonicMs } from '../../shared/brand.ts'
import { normal } from './noise-sources.ts'
import { channelsOf, plantWith, sampleAt, singleAt, zoneOf } from './plant.ts'
import { run, START, statistics, told, why, type ZoneInput } from './zone-run.ts'

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
