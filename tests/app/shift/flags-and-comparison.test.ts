import { describe, expect, it } from 'vitest'
import { newKey } from '../../../app/_ui/new-key.ts'
import { flagsOf, groupsOf } from '../../../app/shift/_model/axis-flags.ts'
import {
  alignedBy,
  comparedSpan,
  comparisonOf,
  comparisonQuery,
  newestBaseline,
  underneath,
  usualComparisons,
} from '../../../app/shift/_model/comparison.ts'
import { sceneDrifts } from '../../../app/shift/_model/scene-parts.ts'
import { forecastPoints, linePoints } from '../../../app/shift/_model/trend.ts'
import { steadyStretches } from '../../../lib/summary/steady.ts'
import type { StoredEvent } from '../../../shared/schemas/events.ts'
import { newNote } from '../../../shared/schemas/notes.ts'
import type { Drift, ShiftAnalysis } from '../../../shared/schemas/shift.ts'
import { madeAnalysis, makeShift } from '../../browser/support/made-shift.ts'

const T0 = Date.UTC(2026, 2, 9, 6)
const HOUR_MS = 3_600_000
const SHIFT = { fromMs: T0, toMs: T0 + 8 * HOUR_MS }

const event = (id: number, kind: StoredEvent['kind'], timeMs: number, data: StoredEvent['data'] = {}): StoredEvent => ({
  id,
  kind,
  timeMs,
  zone: 'z',
  who: 'A. Fitter',
  text: `event ${id}`,
  data,
})

describe('flags on the axis', () => {
  const history = {
    revisions: [
      { timeMs: T0 - HOUR_MS, revision: 'before' },
      { timeMs: T0 + HOUR_MS, revision: 'changed' },
    ],
    clockSteps: [{ timeMs: T0 + 2 * HOUR_MS, stepMs: -3_600_000 }],
  }

  it('are revisions, clock steps and the trail, in order of time; what was in force before is none', () => {
    const flags = flagsOf(history, [event(2, 'alarm', T0 + 5000), event(1, 'note', T0 + 3 * HOUR_MS)])
    expect(flags.map(({ kind }) => kind)).toEqual(['alarm', 'config', 'clock-step', 'note'])
    expect(flags[2]?.text).toContain('set back by 60')
  })

  it('tell a thing once: what the trail has is not told again by the history', () => {
    const flags = flagsOf(history, [event(1, 'config', T0 + HOUR_MS + 300), event(2, 'clock-step', T0 + 2 * HOUR_MS)])
    expect(flags.map(({ key }) => key)).toEqual(['event 1', 'event 2'])
  })

  it('leave out who logged in and what was taken away: that is no fact of the shift', () => {
    expect(flagsOf(null, [event(1, 'access', T0), event(2, 'export', T0)])).toEqual([])
  })

  it('share a mark where they would lie on one another, and none is lost', () => {
    const flags = flagsOf(
      null,
      [0, 1, 2, 50, 90].map((share, i) => event(i + 1, 'note', T0 + share * 1000)),
    )
    const groups = groupsOf(flags, T0, T0 + 100_000, 0.05)
    expect(groups.map((group) => group.flags.length)).toEqual([3, 1, 1])
    expect(groups.map(({ share }) => share)).toEqual([0, 0.5, 0.9])
    expect(groupsOf(flags, T0 + 60_000, T0 + 100_000, 0.05)).toHaveLength(1)
  })
})

describe('a comparison', () => {
  it('stands in the address as the baseline or as two times, and reads back', () => {
    expect(comparisonOf('baseline')).toEqual({ kind: 'baseline' })
    const stretch = { kind: 'stretch', span: SHIFT } as const
    expect(comparisonOf(comparisonQuery(stretch))).toEqual(stretch)
    for (const wrong of [null, '', 'x~y', '5~4', '5']) expect(comparisonOf(wrong)).toBeNull()
  })

  it('goes by the baseline that was named last, whatever its time, and by none that cannot be read', () => {
    const events = [
      event(1, 'baseline', T0, { key: 'a', fromMs: 1, toMs: 2 }),
      event(3, 'baseline', T0 - 5, { key: 'b', fromMs: 3, toMs: 4 }),
      event(9, 'baseline', T0, { fromMs: 'x' }),
    ]
    const baseline = newestBaseline(events)
    expect(baseline).toMatchObject({ fromMs: 3, toMs: 4 })
    expect(comparedSpan({ kind: 'baseline' }, baseline)).toEqual({ fromMs: 3, toMs: 4 })
    expect(comparedSpan({ kind: 'baseline' }, null)).toBeNull()
    expect(comparedSpan(null, baseline)).toBeNull()
  })

  it('lays both beginnings together, and takes no more of the earlier stretch than lies under this one', () => {
    const earlier = { fromMs: T0 - 20 * HOUR_MS, toMs: T0 - 2 * HOUR_MS }
    expect(alignedBy(SHIFT, earlier)).toBe(20 * HOUR_MS)
    expect(underneath(SHIFT, earlier)).toEqual({ fromMs: T0 - 20 * HOUR_MS, toMs: T0 - 12 * HOUR_MS })
  })

  it('offers the shift before and the same hours of a day and of a week before', () => {
    const spans = usualComparisons(SHIFT, { startMinutes: 0, hours: 8 }).map(({ span }) => span)
    for (const { toMs } of spans) expect(toMs).toBeLessThanOrEqual(SHIFT.toMs - 1)
    const days = spans.slice(1).map(({ fromMs }) => Math.round((T0 - fromMs) / (24 * HOUR_MS)))
    expect(days).toEqual([1, 7])
  })
})

describe('what is drawn of a drift', () => {
  const analysis: ShiftAnalysis = madeAnalysis(makeShift(SHIFT.toMs), { ...SHIFT, baseline: null })
  const drift: Drift = {
    ...(analysis.drifts[1] as Drift),
    line: { fromMs: T0, toMs: T0 + 4 * HOUR_MS, atFrom: 1, atTo: 3, UFrom: 0.2, UTo: 0.4 },
    low: 0.3,
    high: 0.7,
  }

  it('is its line over the stretch it rests on, with ± U at both ends', () => {
    expect(linePoints(drift.line as NonNullable<Drift['line']>)).toEqual([
      { tMs: T0, middle: 1, lo: 0.8, hi: 1.2 },
      { tMs: T0 + 4 * HOUR_MS, middle: 3, lo: 2.6, hi: 3.4 },
    ])
  })

  it('goes on between the lowest and the highest rate, wider the further ahead', () => {
    const rate = { ...drift.rate, value: 0.5 }
    const [start, end] = forecastPoints({ ...drift, rate }, T0 + 6 * HOUR_MS)
    expect(start).toEqual({ tMs: T0 + 4 * HOUR_MS, middle: 3, lo: 2.6, hi: 3.4 })
    expect(end?.middle).toBeCloseTo(4, 12)
    expect(end?.lo).toBeCloseTo(2.6 + 0.6, 12)
    expect(end?.hi).toBeCloseTo(3.4 + 1.4, 12)
  })

  it('has no forecast without a rate, and none backwards', () => {
    expect(forecastPoints({ ...drift, rate: { ...drift.rate, value: null } }, T0 + 6 * HOUR_MS)).toEqual([])
    expect(forecastPoints(drift, T0)).toEqual([])
  })

  it('lies in the bands that show the figure: agreement and side difference; steady periods that touch are one', () => {
    expect(Object.keys(sceneDrifts(analysis, true))).toEqual(['residual', 'imbalance'])
    expect(sceneDrifts(analysis, false)).toEqual({})
    const [one] = steadyStretches({
      ...analysis,
      periods: [
        { state: 'steady', fromMs: 0, toMs: 5, minutes: 1 },
        { state: 'assumed', fromMs: 5, toMs: 9, minutes: 1 },
        { state: 'moving', fromMs: 9, toMs: 12, minutes: 1 },
      ],
    })
    expect(one).toEqual({ fromMs: 0, toMs: 9 })
  })
})

describe('the key of a note', () => {
  it('is one that the gateway takes, made without what browsers keep for secure pages', () => {
    const key = newKey(new Uint8Array(16).fill(255))
    expect(key).toBe('ffffffff-ffff-4fff-bfff-ffffffffffff')
    expect(newNote.safeParse({ key, who: 'A', text: 'b', timeMs: 1 }).success).toBe(true)
  })
})
