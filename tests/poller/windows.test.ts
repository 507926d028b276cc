import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type AnswerTimes, polledState, silenceLimitMs } from '../../gateway/poller/device-state.ts'
import { LatencyWindow } from '../../gateway/poller/latency-window.ts'
import { RateWindow } from '../../gateway/poller/rate-window.ts'
import { SilenceGate } from '../../gateway/poller/silence-gate.ts'

describe('LatencyWindow', () => {
  test('is null before the first value and once every value is older than a minute', () => {
    const window = new LatencyWindow()
    expect(window.summary(0)).toBeNull()
    window.add(1000, 5)
    expect(window.summary(54_000)?.max).toBe(5)
    expect(window.summary(61_000)).toBeNull()
  })

  test('p50 and p99 are the nearest-rank quantiles to 2.6 %, the maximum is exact', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0.02, max: 90_000, noNaN: true }), { minLength: 1, maxLength: 400 }),
        (values) => {
          const window = new LatencyWindow()
          for (const [i, value] of values.entries()) window.add(i * 100, value)
          const summary = window.summary(values.length * 100)
          const sorted = [...values].sort((a, b) => a - b)
          const rank = (q: number) => sorted[Math.ceil(q * sorted.length) - 1] ?? Number.NaN
          expect(summary?.max).toBe(sorted.at(-1))
          expect(Math.abs((summary?.p50 ?? 0) / rank(0.5) - 1)).toBeLessThan(0.026)
          expect(Math.abs((summary?.p99 ?? 0) / rank(0.99) - 1)).toBeLessThan(0.026)
        },
      ),
    )
  })

  test('forgets a burst after a minute while newer values stay', () => {
    const window = new LatencyWindow()
    for (let t = 0; t < 4000; t += 10) window.add(t, 500)
    for (let t = 4000; t < 70_000; t += 100) window.add(t, 2)
    expect(window.summary(70_000)?.max).toBe(2)
  })
})

describe('RateWindow', () => {
  test('is null until half a second has passed', () => {
    const rate = new RateWindow(1000)
    rate.add(1100)
    expect(rate.perSecond(1499)).toBeNull()
    expect(rate.perSecond(1500)).toBe(2)
  })

  test('an even rate is told right at any moment, to one event in the window', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1e7, noNaN: true }),
        fc.integer({ min: 1, max: 200 }),
        fc.double({ min: 2, max: 40, noNaN: true }),
        (start, hz, seconds) => {
          const rate = new RateWindow(start)
          for (let k = 0; k <= seconds * hz; k++) rate.add(start + (k * 1000) / hz)
          const measured = rate.perSecond(start + seconds * 1000) ?? Number.NaN
          expect(Math.abs(measured - hz)).toBeLessThanOrEqual(1.001 / Math.min(seconds, 9) + 1e-9)
        },
      ),
    )
  })

  test('falls to 0 within 10 s of the last event', () => {
    const rate = new RateWindow(0)
    for (let t = 0; t < 5000; t += 10) rate.add(t)
    expect(rate.perSecond(15_000)).toBe(0)
  })
})

describe('polledState', () => {
  const times = (anyMs: number | null, ...wholeMs: (number | null)[]): AnswerTimes => ({ startMs: 0, anyMs, wholeMs })

  test('a device may be silent for three periods, at least one second', () => {
    expect(silenceLimitMs(100)).toBe(1000)
    expect(silenceLimitMs(2000)).toBe(6000)
  })

  // now, newest answer, newest whole answer of each request → state; limit 1000 ms
  test.each([
    [500, times(null, null, null), 'starting'],
    [500, times(400, 400, null), 'starting'],
    [500, times(450, 400, 450), 'answering'],
    [1001, times(null, null, null), 'lost'],
    [5000, times(4500, 4400, 4500), 'answering'],
    [5000, times(4500, 3900, 4500), 'partly'],
    [5000, times(4500, null, 4500), 'partly'],
    [5000, times(4500, 3900, 3900), 'partly'],
    [5000, times(4000, 4000, 4000), 'answering'],
    [5000, times(3999, 3999, 3999), 'lost'],
    [5000, times(null), 'starting'],
  ] as const)('at %d ms with %j it is %s', (now, answers, state) => {
    expect(polledState(answers, now, 1000)).toBe(state)
  })
})

describe('SilenceGate', () => {
  test('asks at every tick until three timeouts in a row, then once a second, until an answer', () => {
    const gate = new SilenceGate()
    const asks: number[] = []
    for (let t = 0; t < 4000; t += 100) {
      if (!gate.mayAsk(t)) continue
      asks.push(t)
      gate.asked(t, t < 3000)
    }
    expect(asks).toEqual([0, 100, 200, 1200, 2200, 3200, 3300, 3400, 3500, 3600, 3700, 3800, 3900])
  })
})
