import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { nearestWithData } from '../../../app/shift/_model/nearest.ts'
import {
  choiceOf,
  HOUR_MS,
  minutesOf,
  queryOf,
  type ShiftChoice,
  shiftAt,
  shiftBefore,
  spanOf,
} from '../../../app/shift/_model/shift-choice.ts'
import { panBy, pinch, SHORTEST_SPAN_MS, shownOf, type Zoom, zoomBy, zoomTo } from '../../../app/shift/_model/zoom.ts'

const NOW = Date.UTC(2026, 2, 9, 13, 40)
const SHIFT = { fromMs: NOW - 8 * HOUR_MS, toMs: NOW }
const asked = (part: Partial<Record<'last' | 'from' | 'to', string>>) =>
  choiceOf({ last: null, from: null, to: null, ...part })

describe('which shift', () => {
  it('is told by the address: the last hours, since a time, or between two', () => {
    expect(asked({ last: '12h' })).toEqual({ kind: 'last', hours: 12 })
    expect(asked({ from: '2026-03-09T06:00:00Z' })).toEqual({ kind: 'since', fromMs: Date.UTC(2026, 2, 9, 6) })
    expect(asked({ from: '1773036000000', to: '2026-03-09T14:00:00+01:00' })).toEqual({
      kind: 'between',
      fromMs: 1_773_036_000_000,
      toMs: Date.UTC(2026, 2, 9, 13),
    })
  })

  it('is not told by what cannot be: an end before its beginning, no time, no hours', () => {
    expect(asked({ from: '2026-03-09T06:00:00Z', to: '2026-03-09T05:00:00Z' })).toBeNull()
    expect(asked({ from: 'yesterday', to: 'today' })).toBeNull()
    expect(asked({ last: '-3h' })).toBeNull()
    expect(asked({ last: 'Infinityh' })).toBeNull()
    expect(asked({})).toBeNull()
  })

  it('reads back from the address as it was written, to the millisecond', () => {
    const time = fc.integer({ min: 0, max: 4e12 })
    const choice: fc.Arbitrary<ShiftChoice> = fc.oneof(
      fc.record({ kind: fc.constant('last' as const), hours: fc.integer({ min: 1, max: 200 }) }),
      fc.record({ kind: fc.constant('since' as const), fromMs: time }),
      fc
        .record({ fromMs: time, length: fc.integer({ min: 1000, max: 90 * 86_400_000 }) })
        .map(({ fromMs, length }) => ({ kind: 'between' as const, fromMs, toMs: fromMs + length })),
    )
    fc.assert(
      fc.property(choice, (one) => {
        expect(choiceOf(queryOf(one))).toEqual(one)
      }),
    )
  })

  it('grows with the clock while it is followed, and stands still otherwise', () => {
    expect(spanOf({ kind: 'last', hours: 8 }, NOW)).toEqual(SHIFT)
    expect(spanOf({ kind: 'since', fromMs: NOW - 1e6 }, NOW + 5000)).toEqual({ fromMs: NOW - 1e6, toMs: NOW + 5000 })
    expect(spanOf({ kind: 'between', fromMs: 1, toMs: 2001 }, NOW)).toEqual({ fromMs: 1, toMs: 2001 })
    // A beginning that has not come yet leaves nothing to show but a moment.
    expect(spanOf({ kind: 'since', fromMs: NOW + 1e6 }, NOW)).toEqual({ fromMs: NOW - 1000, toMs: NOW })
  })
})

describe('shifts by the clock', () => {
  const before = process.env.TZ
  beforeAll(() => {
    process.env.TZ = 'Europe/Berlin'
  })
  afterAll(() => {
    process.env.TZ = before
  })
  const early = { startMinutes: 6 * 60, hours: 8 }

  it('begin at the start of the day that is remembered, and every so many hours after it', () => {
    const at = new Date(2026, 2, 9, 15, 30).getTime()
    expect(shiftAt(early, at)).toEqual({
      fromMs: new Date(2026, 2, 9, 14).getTime(),
      toMs: new Date(2026, 2, 9, 22).getTime(),
    })
    expect(shiftBefore(early, at).fromMs).toBe(new Date(2026, 2, 9, 6).getTime())
    expect(shiftAt(early, new Date(2026, 2, 9, 3).getTime()).fromMs).toBe(new Date(2026, 2, 8, 22).getTime())
    expect(shiftAt(early, new Date(2026, 2, 9, 6).getTime()).fromMs).toBe(new Date(2026, 2, 9, 6).getTime())
  })

  it('keep their beginnings on the clock when it is set to summer time: the night shift is 7 h long', () => {
    const night = shiftAt(early, new Date(2026, 2, 29, 1).getTime())
    expect(new Date(night.fromMs).getHours()).toBe(22)
    expect(new Date(night.toMs).getHours()).toBe(6)
    expect((night.toMs - night.fromMs) / HOUR_MS).toBe(7)
  })

  it('cover every moment once: the shift of any time holds it, and the one before ends where it begins', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: Date.UTC(2026, 0, 1), max: Date.UTC(2026, 11, 31) }),
        fc.constantFrom(8, 12, 24),
        fc.integer({ min: 0, max: 1439 }),
        (t, hours, startMinutes) => {
          const shift = shiftAt({ startMinutes, hours }, t)
          expect(shift.fromMs).toBeLessThanOrEqual(t)
          expect(shift.toMs).toBeGreaterThan(t)
          expect(shiftBefore({ startMinutes, hours }, t).toMs).toBe(shift.fromMs)
        },
      ),
    )
  })

  it('read a start of HH:MM and nothing else', () => {
    expect(minutesOf('06:30')).toBe(390)
    expect(minutesOf('24:00')).toBeNull()
    expect(minutesOf('6')).toBeNull()
  })
})

describe('a closer look', () => {
  it('never leaves the shift nor goes closer than a few samples, whatever the hand does', () => {
    const at = fc
      .double({ min: -0.5, max: 1.5, noNaN: true })
      .map((s) => SHIFT.fromMs + s * (SHIFT.toMs - SHIFT.fromMs))
    const step = fc.oneof(
      fc.tuple(at, at).map(
        ([a, b]) =>
          () =>
            zoomTo(SHIFT, a, b),
      ),
      fc.tuple(fc.constantFrom(0.1, 0.5, 2, 30), at).map(
        ([f, a]) =>
          (z: Zoom) =>
            zoomBy(SHIFT, z, f, a),
      ),
      fc.double({ min: -1e8, max: 1e8, noNaN: true }).map((ms) => (z: Zoom) => panBy(SHIFT, z, ms)),
      fc.tuple(at, at, fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true })).map(
        ([a, b, s, t]) =>
          () =>
            pinch(SHIFT, [a, b], [s, t]),
      ),
    )
    fc.assert(
      fc.property(fc.array(step, { maxLength: 12 }), (steps) => {
        const zoom = steps.reduce<Zoom>((z, act) => act(z), null)
        const { fromMs, toMs } = shownOf(SHIFT, zoom)
        expect(fromMs).toBeGreaterThanOrEqual(SHIFT.fromMs - 1e-3)
        expect(toMs).toBeLessThanOrEqual(SHIFT.toMs + 1e-3)
        expect(toMs - fromMs).toBeGreaterThanOrEqual(SHORTEST_SPAN_MS - 1e-3)
      }),
    )
  })

  it('keeps the time under the hand where it is', () => {
    const around = SHIFT.fromMs + 3 * HOUR_MS
    const zoom = zoomBy(SHIFT, null, 0.25, around)
    expect(zoom).not.toBeNull()
    const { fromMs, toMs } = zoom ?? SHIFT
    expect((around - fromMs) / (toMs - fromMs)).toBeCloseTo(3 / 8, 9)
  })

  it('puts both times back under both fingers', () => {
    const [a, b] = [SHIFT.fromMs + 2 * HOUR_MS, SHIFT.fromMs + 3 * HOUR_MS]
    const zoom = pinch(SHIFT, [a, b], [0.2, 0.8]) ?? SHIFT
    const length = zoom.toMs - zoom.fromMs
    expect((a - zoom.fromMs) / length).toBeCloseTo(0.2, 9)
    expect((b - zoom.fromMs) / length).toBeCloseTo(0.8, 9)
  })

  it('as wide as the shift is the whole shift, and stays so while that grows', () => {
    expect(zoomBy(SHIFT, zoomTo(SHIFT, NOW - 1000, NOW), 1e9, NOW)).toBeNull()
    expect(shownOf({ ...SHIFT, toMs: NOW + 60_000 }, null).toMs).toBe(NOW + 60_000)
  })
})

describe('the nearest stretch with data', () => {
  it('is as long as the one asked for and lies within what is kept', () => {
    const kept = { keptFromMs: NOW - 100 * HOUR_MS, keptToMs: NOW - 50 * HOUR_MS }
    expect(nearestWithData(SHIFT, kept)).toEqual({ fromMs: NOW - 58 * HOUR_MS, toMs: NOW - 50 * HOUR_MS })
    const old = { fromMs: NOW - 300 * HOUR_MS, toMs: NOW - 292 * HOUR_MS }
    expect(nearestWithData(old, kept)).toEqual({ fromMs: NOW - 100 * HOUR_MS, toMs: NOW - 92 * HOUR_MS })
  })

  it('is all of it where less is kept than asked for, and null where nothing is', () => {
    const kept = { keptFromMs: NOW - 90 * HOUR_MS, keptToMs: NOW - 89 * HOUR_MS }
    expect(nearestWithData(SHIFT, kept)).toEqual({ fromMs: NOW - 90 * HOUR_MS, toMs: NOW - 89 * HOUR_MS })
    expect(nearestWithData(SHIFT, { keptFromMs: null, keptToMs: null })).toBeNull()
  })
})
