import { describe, expect, test } from 'vitest'
import { monotonicMs } from '../../shared/brand.ts'
import { pairAt, sampleAt } from './plant.ts'
import { run, START, statistics, told, why } from './zone-run.ts'

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
