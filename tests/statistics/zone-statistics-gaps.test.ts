import { describe, expect, test } from 'vitest'
import { monotonicMs } from '../../shared/brand.ts'
import { pairAt, sampleAt } from './plant.ts'
import { run, START, statistics, told, why } from './zone-run.ts'

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
