import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { clockText, timeStep, timeTicks } from '../../app/_plots/time-ticks.ts'
import * as view from '../../app/_plots/view.ts'
import { decimalsFor, roundStep, yRange } from '../../app/_plots/y-range.ts'

const NOW = 1_700_000_000_000
const paused = view.pause({ mode: 'live', windowMs: 60_000 }, NOW, NOW - 600_000)

describe('view', () => {
  it('live: ends at the newest whole bucket and is a window long', () => {
    const { fromMs, toMs, bucketMs } = view.spanOf({ mode: 'live', windowMs: 60_000 }, NOW + 77, 1000)
    expect(bucketMs).toBe(60)
    expect(toMs % bucketMs).toBe(0)
    expect(NOW + 77 - toMs).toBeLessThan(bucketMs)
    expect(toMs - fromMs).toBe(60_000)
  })

  it('pause keeps what was shown; pausing again changes nothing; resume follows the same window', () => {
    expect(paused).toMatchObject({ fromMs: NOW - 60_000, toMs: NOW, pausedAtMs: NOW })
    expect(view.pause(paused, NOW + 5000, 0)).toBe(paused)
    expect(view.resume(paused)).toEqual({ mode: 'live', windowMs: 60_000 })
    expect(view.isZoomed(paused)).toBe(false)
  })

  it('never shows a moment after the pause began, nor leaves what was recorded', () => {
    const step = fc.oneof(
      fc.record({ kind: fc.constant('scrub' as const), at: fc.integer({ min: -900_000, max: 300_000 }) }),
      fc.record({
        kind: fc.constant('zoom' as const),
        at: fc.integer({ min: -600_000, max: 0 }),
        factor: fc.constantFrom(0.5, 2, 10),
      }),
      fc.record({ kind: fc.constant('window' as const), ms: fc.constantFrom(...view.WINDOWS_MS) }),
      fc.record({
        kind: fc.constant('range' as const),
        a: fc.integer({ min: -600_000, max: 0 }),
        b: fc.integer({ min: -600_000, max: 0 }),
      }),
    )
    fc.assert(
      fc.property(fc.array(step, { maxLength: 20 }), (steps) => {
        let now: view.PausedView = paused
        for (const s of steps) {
          if (s.kind === 'scrub') now = view.scrubTo(now, NOW + s.at)
          else if (s.kind === 'zoom') now = view.zoomBy(now, s.factor, NOW + s.at)
          else if (s.kind === 'range') now = view.zoomTo(now, NOW + s.a, NOW + s.b)
          else {
            const chosen = view.chooseWindow(now, s.ms)
            if (chosen.mode === 'paused') now = chosen
          }
          expect(now.toMs).toBeLessThanOrEqual(NOW)
          expect(now.toMs - now.fromMs).toBeGreaterThanOrEqual(view.SHORTEST_SPAN_MS - 1e-3)
          expect(now.toMs - now.fromMs).toBeLessThanOrEqual(600_000 + 1e-3)
          expect(now.fromMs).toBeGreaterThanOrEqual(NOW - 600_000 - 1e-3)
        }
        expect(view.isZoomed(view.resetZoom(now))).toBe(false)
      }),
    )
  })

  it('zooms around the moment pointed at, which keeps its place on the screen', () => {
    const at = NOW - 20_000
    const zoomed = view.zoomBy(paused, 0.5, at)
    const place = (v: view.PausedView) => (at - v.fromMs) / (v.toMs - v.fromMs)
    expect(place(zoomed)).toBeCloseTo(place(paused), 9)
    expect(zoomed.toMs - zoomed.fromMs).toBe(30_000)
  })

  it('takes a dragged range in either direction', () => {
    expect(view.zoomTo(paused, NOW - 10_000, NOW - 20_000)).toMatchObject({ fromMs: NOW - 20_000, toMs: NOW - 10_000 })
  })

  it('steps through the windows and stops at both ends', () => {
    expect(view.neighbourWindow(60_000, -1)).toBe(30_000)
    expect(view.neighbourWindow(60_000, 1)).toBe(120_000)
    expect(view.neighbourWindow(10_000, -1)).toBe(10_000)
    expect(view.neighbourWindow(600_000, 1)).toBe(600_000)
  })
})

describe('time marks', () => {
  it('read differently from one another, lie inside, and are as many as asked at most, at every window', () => {
    const spans = fc.constantFrom(200, 900, 3000, ...view.WINDOWS_MS)
    fc.assert(
      fc.property(spans, fc.integer({ min: 0, max: 86_400_000 }), fc.integer({ min: 2, max: 12 }), (span, at, most) => {
        const from = NOW + at
        const step = timeStep(span, most)
        const ticks = timeTicks(from, from + span, step, 0)
        expect(ticks.length).toBeLessThanOrEqual(most + 1)
        expect(new Set(ticks.map((t) => clockText(t, step))).size).toBe(ticks.length)
        for (const t of ticks) {
          expect(t).toBeGreaterThanOrEqual(from)
          expect(t).toBeLessThanOrEqual(from + span)
        }
      }),
    )
  })

  it('stand on whole steps of local time in a zone half an hour off (UTC+05:30)', () => {
    const offset = 5.5 * 3_600_000
    const midnightUtc = Date.UTC(2026, 0, 1)
    const ticks = timeTicks(midnightUtc, midnightUtc + 2 * 3_600_000, 3_600_000, offset)
    expect(ticks.map((t) => new Date(t + offset).getUTCMinutes())).toEqual([0, 0])
  })

  it('show seconds and fractions only where the step needs them', () => {
    const t = new Date(2026, 0, 1, 9, 14, 22, 350).getTime()
    expect(clockText(t, 60_000)).toBe('09:14')
    expect(clockText(t, 1000)).toBe('09:14:22')
    expect(clockText(t, 100)).toBe('09:14:22.3')
    expect(clockText(t, 50)).toBe('09:14:22.35')
    expect(clockText(t, 1)).toBe('09:14:22.350')
  })
})

describe('yRange', () => {
  const extent = fc
    .tuple(fc.double({ min: -1e6, max: 1e6, noNaN: true }), fc.double({ min: 0, max: 1e5, noNaN: true }))
    .map(([lo, spread]) => ({ lo, hi: lo + spread }))

  it('has a height also for nothing but zeros, measured from zero', () => {
    const { min, max } = yRange(null, { lo: 0, hi: 0 }, true)
    expect(max).toBeGreaterThan(min)
  })

  it('always holds every value, and zero when asked to', () => {
    fc.assert(
      fc.property(fc.array(extent, { minLength: 1, maxLength: 10 }), fc.boolean(), (extents, fromZero) => {
        let range = null
        for (const e of extents) {
          range = yRange(range, e, fromZero)
          expect(range.min).toBeLessThanOrEqual(e.lo)
          expect(range.max).toBeGreaterThanOrEqual(e.hi)
          expect(range.max).toBeGreaterThan(range.min)
          if (fromZero) expect(range.min <= 0 && range.max >= 0).toBe(true)
        }
      }),
    )
  })

  it('does not move while the values stay within it and fill it', () => {
    const first = yRange(null, { lo: 100, hi: 110 }, false)
    expect(yRange(first, { lo: 100.5, hi: 109 }, false)).toBe(first)
    expect(yRange(first, { lo: 104, hi: 105 }, false)).not.toBe(first)
    expect(yRange(first, { lo: 100, hi: 130 }, false)).not.toBe(first)
  })

  it('keeps the scale when there is nothing to show', () => {
    const first = yRange(null, { lo: 100, hi: 110 }, false)
    expect(yRange(first, null, false)).toBe(first)
    expect(yRange(null, null, false)).toEqual({ min: 0, max: 1 })
  })

  it('rounds steps to 1, 2 or 5 and writes as many decimals as a step needs', () => {
    expect([0.011, 0.3, 1, 4, 6].map(roundStep)).toEqual([0.02, 0.5, 1, 5, 10])
    expect([0.02, 0.5, 1, 20].map(decimalsFor)).toEqual([2, 1, 0, 0])
  })
})
