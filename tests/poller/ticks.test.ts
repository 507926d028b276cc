import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { dueAt, nextStep, startTicks, type Ticks } from '../../gateway/poller/ticks.ts'

/** A line that is busy for each of these times in turn; returns every run and all that was skipped. */
function simulate(start: Ticks, busyMs: readonly number[]) {
  const runs: { dueMs: number; atMs: number }[] = []
  let ticks = start
  let now = start.t0
  let skipped = 0
  for (const busy of busyMs) {
    let step = nextStep(ticks, now)
    while (step.kind === 'wait') {
      now += step.forMs
      step = nextStep(ticks, now)
    }
    runs.push({ dueMs: step.dueMs, atMs: now })
    skipped += step.skipped
    ticks = step.ticks
    now += busy
  }
  return { runs, skipped, ticks }
}

const period = fc.double({ min: 0.5, max: 5000, noNaN: true })
const t0 = fc.double({ min: 0, max: 1e9, noNaN: true })
const busyTimes = fc.array(fc.double({ min: 0, max: 20_000, noNaN: true }), { minLength: 1, maxLength: 60 })

describe('ticks', () => {
  test('tick k is due at t0 + k periods, with no sum of errors', () => {
    expect(dueAt(startTicks(1000, 20), 180_000)).toBe(1000 + 3_600_000)
  })

  test('a line that is always quick runs every tick at its time and misses none', () => {
    const { runs, skipped } = simulate(startTicks(500, 100), [5, 40, 99, 0, 100])
    expect(runs.map((run) => run.atMs)).toEqual([500, 600, 700, 800, 900])
    expect(skipped).toBe(0)
  })

  test('a tick that takes 2.5 periods skips two and runs the newest one that is due, at once', () => {
    const { runs, skipped } = simulate(startTicks(0, 100), [250, 10, 10])
    expect(runs).toEqual([
      { dueMs: 0, atMs: 0 },
      { dueMs: 200, atMs: 250 },
      { dueMs: 300, atMs: 300 },
    ])
    expect(skipped).toBe(1)
  })

  test('a period that is no positive number is refused', () => {
    for (const bad of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => startTicks(0, bad)).toThrow(RangeError)
  })

  test('no tick runs early, twice or in a bunch, and run plus skipped is all there were', () => {
    fc.assert(
      fc.property(t0, period, busyTimes, (start, periodMs, busy) => {
        const { runs, skipped, ticks } = simulate(startTicks(start, periodMs), busy)
        for (const [i, run] of runs.entries()) {
          expect(run.atMs).toBeGreaterThanOrEqual(run.dueMs)
          const before = runs[i - 1]
          if (before !== undefined) expect(run.dueMs).toBeGreaterThan(before.dueMs)
          // The newest due tick is the one that runs: the next one is still to come.
          expect(run.atMs).toBeLessThan(run.dueMs + periodMs * (1 + 1e-6) + 1e-6)
        }
        expect(runs.length + skipped).toBe(ticks.next)
      }),
    )
  })

  test('lateness of one tick never moves a later one off the grid', () => {
    fc.assert(
      fc.property(t0, period, busyTimes, (start, periodMs, busy) => {
        for (const { dueMs } of simulate(startTicks(start, periodMs), busy).runs) {
          const k = Math.round((dueMs - start) / periodMs)
          expect(dueMs).toBe(start + k * periodMs)
        }
      }),
    )
  })
})
