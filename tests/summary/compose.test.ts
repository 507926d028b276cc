import { describe, expect, it } from 'vitest'
import { meanPath, robustExtent, within } from '../../app/shift/_summary/mean-path.ts'
import { alarmsOnPaper, clipped, limited, periodsInWords } from '../../app/shift/_summary/sheet-words.ts'
import { composeSummary, NO_CERTIFICATE } from '../../lib/summary/compose.ts'
import { gapsOf, leastGapMs } from '../../lib/summary/gaps.ts'
import { sideMeans } from '../../lib/summary/side-means.ts'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import type { ZoneHistory } from '../../shared/schemas/history.ts'
import { shiftSummary } from '../../shared/schemas/shift-summary.ts'
import { madeAnalysis, madeHistory, makeShift } from '../browser/support/made-shift.ts'

const T0 = 1_770_000_000_000
const MINUTE_MS = 60_000

/** Buckets of a minute; so many good samples in each, their mean, and 1 N below and above it. */
function history(
  sides: Partial<Record<'drive_side' | 'operator_side', readonly (readonly [mean: number, n: number] | null)[]>>,
): ZoneHistory {
  const count = Object.values(sides)[0]?.length ?? 0
  return {
    zone: 'z',
    fromMs: T0,
    toMs: T0 + count * MINUTE_MS,
    bucketMs: MINUTE_MS,
    source: 'roll-up',
    timesMs: Array.from({ length: count }, (_, i) => T0 + i * MINUTE_MS),
    series: Object.fromEntries(
      Object.entries(sides).map(([side, rows]) => [
        side,
        {
          unit: 'N',
          min: rows.map((row) => (row === null ? null : row[0] - 1)),
          mean: rows.map((row) => row?.[0] ?? null),
          max: rows.map((row) => (row === null ? null : row[0] + 1)),
          n: rows.map((row) => row?.[1] ?? 0),
        },
      ]),
    ),
    revisions: [],
    clockSteps: [],
    keptFromMs: T0,
    keptToMs: T0 + count * MINUTE_MS,
  }
}

const at = (minutes: number) => T0 + minutes * MINUTE_MS

describe('gaps of a recording', () => {
  const good = [100, 60] as const

  it('of two sides that begin and end together are one; of one side alone its own', () => {
    const gaps = gapsOf(
      history({
        drive_side: [good, null, null, good, null, good],
        operator_side: [good, null, null, good, good, good],
      }),
    )
    expect(gaps).toEqual([
      { fromMs: at(1), toMs: at(3), sides: ['drive_side', 'operator_side'] },
      { fromMs: at(4), toMs: at(5), sides: ['drive_side'] },
    ])
  })

  it('reach to both ends of what was asked for, and rows that are missing count', () => {
    const answer = history({ drive_side: [good, good] })
    expect(gapsOf({ ...answer, fromMs: at(-3), toMs: at(9) })).toEqual([
      { fromMs: at(-3), toMs: at(0), sides: ['drive_side'] },
      { fromMs: at(2), toMs: at(9), sides: ['drive_side'] },
    ])
    expect(gapsOf({ ...answer, timesMs: [at(0), at(5)], toMs: at(6) })).toEqual([
      { fromMs: at(1), toMs: at(5), sides: ['drive_side'] },
    ])
  })

  it('between single samples are longer than three of their usual distances', () => {
    const everySecond = (seconds: readonly number[], end: number): ZoneHistory => {
      const values = seconds.map(() => 100)
      const drive_side = { unit: 'N', min: values, max: values, mean: values, n: seconds.map(() => 1) }
      const timesMs = seconds.map((s) => T0 + s * 1000)
      return { ...history({}), bucketMs: 0, source: 'samples', timesMs, toMs: T0 + end * 1000, series: { drive_side } }
    }
    const whole = Array.from({ length: 600 }, (_, i) => i)
    expect(gapsOf(everySecond(whole, 600))).toEqual([])
    expect(leastGapMs(everySecond(whole, 600))).toBe(3000)
    const broken = everySecond(
      whole.filter((s) => s < 100 || s >= 120),
      700,
    )
    expect(gapsOf(broken).map(({ fromMs, toMs }) => [(fromMs - T0) / 1000, (toMs - T0) / 1000])).toEqual([
      [99, 120],
      [599, 700],
    ])
    expect(gapsOf(everySecond([], 60))).toEqual([{ fromMs: T0, toMs: T0 + 60_000, sides: ['drive_side'] }])
  })

  it('none where every row has a good sample; all of it where none has', () => {
    expect(gapsOf(history({ drive_side: [good, good] }))).toEqual([])
    expect(gapsOf(history({ drive_side: [null, null] }))).toEqual([
      { fromMs: at(0), toMs: at(2), sides: ['drive_side'] },
    ])
  })
})

describe('gaps of a shift that is not over', () => {
  const parts = { plant: null, line: null, zone: { id: 'z', name: 'Z' }, fromMs: at(0), toMs: at(60) }
  const nothing = { analysis: null, isCompared: false, events: [], alarmsBefore: [] }
  const answer = { ...history({ drive_side: [[100, 60], null, [100, 60]] }), toMs: at(60) }

  it('are told up to the present alone: what has not come yet is none', () => {
    const gapsAt = (madeMs: number) => composeSummary({ ...parts, ...nothing, madeMs, history: answer }).recording.gaps
    expect(gapsAt(at(3))).toEqual([{ fromMs: at(1), toMs: at(2), sides: ['drive_side'] }])
    expect(gapsAt(at(20))).toHaveLength(2)
    expect(gapsAt(at(20))[1]).toMatchObject({ fromMs: at(3), toMs: at(20) })
  })
})

describe('means of the sides', () => {
  it('weigh rows by their good samples, over rows wholly in steady running alone', () => {
    const answer = history({
      drive_side: [
        [0, 60],
        [100, 10],
        [200, 30],
        [0, 60],
      ],
    })
    const steady = [{ fromMs: at(1), toMs: at(3) }]
    // (100·10 + 200·30) / 40 = 175
    expect(sideMeans(answer, steady)).toEqual([{ side: 'drive_side', mean: 175, lo: 99, hi: 201, samples: 40 }])
    expect(sideMeans(answer, [{ fromMs: at(1.5), toMs: at(3) }])[0]).toMatchObject({ mean: 200, samples: 30 })
  })

  it('are left out, never zero, where no row was steady', () => {
    expect(sideMeans(history({ drive_side: [[100, 10]] }), [])).toEqual([])
    expect(sideMeans(history({ drive_side: [null] }), [{ fromMs: at(0), toMs: at(1) }])).toEqual([])
  })
})

describe('a shift summary', () => {
  const made = makeShift(T0 + 8 * 3_600_000)
  const span = { fromMs: made.startMs, toMs: made.endMs }
  const event = (id: number, kind: StoredEvent['kind'], timeMs: number): StoredEvent => ({
    id,
    kind,
    timeMs,
    zone: 'z',
    who: null,
    text: kind,
    data: {},
  })
  const parts = {
    plant: 'Example plant',
    line: null,
    zone: { id: 'unwind', name: 'Unwind' },
    ...span,
    madeMs: made.endMs + 5,
    history: madeHistory(made, span.fromMs, span.toMs, 1000),
    analysis: madeAnalysis(made, { ...span, baseline: [span.fromMs, span.toMs] }),
    isCompared: false,
    events: [event(3, 'note', T0 + 9), event(4, 'alarm', T0 + 8), event(1, 'alarm', T0 + 8), event(5, 'access', T0)],
    alarmsBefore: [],
  }

  it('names the alarms that were active when it began, each by its newest transition before', () => {
    const transition = (id: number, alarm: string, state: string): StoredEvent => ({
      ...event(id, 'alarm', T0 - 10_000 + id),
      data: { alarm, state },
    })
    const alarmsBefore = [
      transition(1, 'a', 'unacknowledged'),
      transition(2, 'a', 'acknowledged'),
      transition(3, 'b', 'unacknowledged'),
      transition(4, 'b', 'normal'),
      transition(5, 'c', 'unacknowledged'),
      transition(6, 'c', 'unknown'),
      transition(7, 'd', 'unacknowledged'),
    ]
    const { standing } = composeSummary({ ...parts, alarmsBefore: alarmsBefore.toReversed() })
    expect(standing.map(({ id }) => id)).toEqual([2, 7])
    expect(composeSummary(parts).standing).toEqual([])
  })

  it('holds the facts in the form it promises, events apart by what they are and oldest first', () => {
    const summary = composeSummary(parts)
    expect(shiftSummary.parse(summary)).toEqual(summary)
    expect(summary.alarms.map(({ id }) => id)).toEqual([1, 4])
    expect(summary.notes.map(({ id }) => id)).toEqual([3])
    expect(summary.happened).toEqual([])
    expect(summary.sentence).toBe(NO_CERTIFICATE)
    expect(summary.recording.gaps.length).toBeGreaterThan(0)
    expect(summary.steadiness.minutes).toEqual({ stopped: 23, steady: 438, missing: 7, slack: 9 })
  })

  it('takes its means from the analysis, and compares only where something was compared with', () => {
    expect(composeSummary(parts).means.map(({ what }) => what)).toEqual(['side_difference', 'temperature', 'total'])
    expect(composeSummary(parts).compared).toBeNull()
    expect(composeSummary({ ...parts, isCompared: true }).compared?.changes).toHaveLength(4)
  })

  it('says what it does not know instead of leaving it out: no store, no analysis', () => {
    const summary = composeSummary({ ...parts, history: null, analysis: null })
    expect(summary).toMatchObject({ revisions: [], sides: [], means: [], drifts: [], steadiness: { state: 'unknown' } })
    expect(shiftSummary.parse(summary)).toEqual(summary)
    expect(periodsInWords(summary.steadiness.minutes)).toBe('not known')
  })
})

describe('what two sheets have room for', () => {
  it('a list is cut with the count of what is left out, never for a single line', () => {
    expect(limited([1, 2, 3], 3)).toEqual({ shown: [1, 2, 3], more: 0 })
    expect(limited([1, 2, 3, 4], 3)).toEqual({ shown: [1, 2, 3, 4], more: 0 })
    expect(limited([1, 2, 3, 4, 5], 3)).toEqual({ shown: [1, 2, 3], more: 2 })
  })

  it('of alarms the announcements, returns and what people did; that data came and went is counted', () => {
    const alarm = (id: number, kind: string): StoredEvent => ({
      id,
      timeMs: T0,
      kind: 'alarm',
      zone: null,
      who: null,
      text: kind,
      data: { event: { kind } },
    })
    const { told, ofData } = alarmsOnPaper(
      ['activated', 'lost', 'resumed', 'acknowledged'].map((kind, i) => alarm(i + 1, kind)),
    )
    expect(told.map(({ text }) => text)).toEqual(['activated', 'acknowledged'])
    expect(ofData).toBe(2)
  })

  it('a long note is cut at a word and marked so', () => {
    const long = 'word '.repeat(100)
    expect(clipped(long)).toMatch(/word…$/)
    expect(clipped(long).length).toBeLessThan(185)
    expect(clipped('two\nlines')).toBe('two lines')
  })

  it('the line on paper breaks where a row has no mean or rows are missing', () => {
    const rows = { timesMs: [0, 10, 20, 50], bucketMs: 10 }
    const path = meanPath(
      rows,
      [1, 2, null, 4],
      (t) => t,
      (v) => v,
    )
    expect(path).toBe('M5.0 1.0h.01L15.0 2.0M55.0 4.0h.01')
    expect(
      meanPath(
        rows,
        [1, 2, 3, 4],
        (t) => t,
        (v) => v,
      ),
    ).toBe('M5.0 1.0h.01L15.0 2.0L25.0 3.0M55.0 4.0h.01')
  })

  it('its scale is not made by a few wild rows, and is none without a value', () => {
    const values = [...Array.from({ length: 200 }, (_, i) => i / 100), 5000]
    const extent = robustExtent(values)
    expect(extent?.hi).toBeLessThan(3)
    expect(robustExtent([null, null])).toBeNull()
    const rows = { timesMs: [0, 10, 20], bucketMs: 10 }
    expect(within(rows, [1, 2, 3], [{ fromMs: 10, toMs: 25 }])).toEqual([2])
    expect(within(rows, [1, 2, 3], [])).toEqual([1, 2, 3])
  })
})
