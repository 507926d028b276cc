import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { ReplayTimeline } from '../../gateway/poller/replay-timeline.ts'

describe('ReplayTimeline', () => {
  test('the first row is at the start, the others at their recorded spacing', () => {
    const timeline = new ReplayTimeline(5000, 1, 100)
    expect([1000, 1000.5, 1002].map((t) => timeline.place(t))).toEqual([5000, 5500, 7000])
  })

  test('the recorded spacing stays at any speed: a rate per hour means what it meant', () => {
    for (const speed of [1, 4, 'max'] as const) {
      const timeline = new ReplayTimeline(0, speed, 100)
      expect([10, 11].map((t) => timeline.place(t))).toEqual([0, 1000])
    }
  })

  test('4× hands a row on after a quarter of its time; max at once', () => {
    expect(new ReplayTimeline(500, 4, 100).dueMs(1500)).toBe(750)
    expect(new ReplayTimeline(500, 'max', 100).dueMs(1500)).toBe(500)
  })

  test('a further pass begins one step of the first two rows after the last', () => {
    const timeline = new ReplayTimeline(0, 1, 100)
    for (const t of [0, 0.02, 0.05]) timeline.place(t)
    timeline.again()
    expect(timeline.place(0)).toBeCloseTo(70, 9)
    expect(timeline.place(0.02)).toBeCloseTo(90, 9)
  })

  test('a recording of one row repeats at the period it is given', () => {
    const timeline = new ReplayTimeline(0, 2, 100)
    timeline.place(7)
    timeline.again()
    expect(timeline.place(7)).toBe(100)
    expect(timeline.nextMs).toBe(200)
  })

  test('times go forward over any number of passes', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0.001, max: 1000, noNaN: true }), { minLength: 1, maxLength: 20 }),
        fc.oneof(fc.constant('max' as const), fc.double({ min: 1, max: 100, noNaN: true })),
        (steps, speed) => {
          const timeline = new ReplayTimeline(0, speed, 100)
          let last = Number.NEGATIVE_INFINITY
          for (let pass = 0; pass < 3; pass++) {
            let seconds = 0
            for (const step of steps) {
              const at = timeline.place(seconds)
              expect(at).toBeGreaterThan(last)
              last = at
              seconds += step
            }
            timeline.again()
          }
          expect(timeline.nextMs).toBeGreaterThan(last)
        },
      ),
    )
  })
})
