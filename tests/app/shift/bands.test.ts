import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { emptyStretches } from '../../../app/_plots/trace-paths.ts'
import { bandPicture } from '../../../app/shift/_model/band-picture.ts'
import { bandExtent } from '../../../app/shift/_model/band-range.ts'
import { bandsOf } from '../../../app/shift/_model/bands.ts'
import { coarseRows } from '../../../app/shift/_model/coarse-rows.ts'
import { bestRows, type HistoryRows, rowsOf } from '../../../app/shift/_model/history-rows.ts'
import { slackBelowN } from '../../../app/shift/_model/slack.ts'
import { cursorReading } from '../../../app/shift/_plot/cursor-readings.ts'
import type { Envelope, HistorySeries, ZoneHistory } from '../../../shared/schemas/history.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { SI_CHOICE } from '../../../shared/unit-choice.ts'

const T0 = 1_770_000_000_000
const SAME = { factor: 1, offset: 0 }

/** Means as given, lowest and highest one below and above; null: no good sample. */
function envelope(means: readonly (number | null)[], isSamples = false): Envelope {
  const by = (d: number) => means.map((v) => (v === null ? null : v + (isSamples ? 0 : d)))
  return { unit: 'N', min: by(-1), mean: by(0), max: by(1), n: means.map((v) => (v === null ? 0 : 10)) }
}

function history(
  bucketMs: number,
  timesMs: readonly number[],
  series: Partial<Record<HistorySeries, readonly (number | null)[]>>,
  part: Partial<ZoneHistory> = {},
): ZoneHistory {
  const ends = { fromMs: timesMs[0] ?? T0, toMs: (timesMs.at(-1) ?? T0) + Math.max(1, bucketMs) }
  return {
    zone: 'z',
    ...ends,
    bucketMs,
    source: bucketMs === 0 ? 'samples' : 'roll-up',
    timesMs: [...timesMs],
    series: Object.fromEntries(Object.entries(series).map(([k, v]) => [k, envelope(v, bucketMs === 0)])),
    revisions: [],
    clockSteps: [],
    keptFromMs: ends.fromMs,
    keptToMs: ends.toMs,
    ...part,
  }
}

const every = (stepMs: number, count: number) => Array.from({ length: count }, (_, i) => T0 + i * stepMs)
const side = (series: HistorySeries, map = SAME) => ({ series, map })
const picture = (rows: HistoryRows, names: readonly HistorySeries[], holes = { rowMs: 100, endMs: 5000 }) =>
  bandPicture(
    rows,
    names.map((n) => side(n)),
    rows.fromMs,
    rows.toMs,
    holes,
  )

describe('the picture of a band', () => {
  it('stands a bucket at its middle, with its lowest and highest, in the unit of the reader', () => {
    const rows = rowsOf(history(10_000, every(10_000, 2), { drive_side: [10, 20] }))
    const drawn = bandPicture(rows, [side('drive_side', { factor: 2, offset: 1 })], rows.fromMs, rows.toMs, {
      rowMs: 5000,
      endMs: 20_000,
    })
    expect(drawn.x).toEqual([T0 + 5000, T0 + 15_000])
    expect(drawn.columns[0]).toEqual({ mean: [21, 41], lo: [19, 39], hi: [23, 43] })
  })

  it('turns lowest and highest round for a cell that reads pull as push', () => {
    const rows = rowsOf(history(10_000, every(10_000, 1), { drive_side: [10] }))
    const drawn = bandPicture(rows, [side('drive_side', { factor: -1, offset: 0 })], rows.fromMs, rows.toMs, {
      rowMs: 5000,
      endMs: 20_000,
    })
    expect(drawn.columns[0]).toEqual({ mean: [-10], lo: [-11], hi: [-9] })
  })

  it('breaks every line where buckets are missing, and hatches from the end of one to the beginning of the next', () => {
    const times = [T0, T0 + 10_000, T0 + 50_000]
    const drawn = picture(rowsOf(history(10_000, times, { drive_side: [1, 2, 3] })), ['drive_side'], {
      rowMs: 5000,
      endMs: 20_000,
    })
    expect(drawn.columns[0]?.mean).toEqual([1, 2, null, 3])
    expect(emptyStretches(drawn.cells, 0, 1)).toEqual([{ fromMs: T0 + 20_000, toMs: T0 + 50_000 }])
  })

  it('breaks one side alone where only that has no good sample: a bucket without one is never drawn over', () => {
    const rows = rowsOf(history(10_000, every(10_000, 3), { drive_side: [1, null, 3], operator_side: [4, 5, 6] }))
    const drawn = picture(rows, ['drive_side', 'operator_side'], { rowMs: 5000, endMs: 20_000 })
    expect(drawn.columns.map(({ mean }) => mean)).toEqual([
      [1, null, 3],
      [4, 5, 6],
    ])
    expect(emptyStretches(drawn.cells, 0, 1)).toEqual([{ fromMs: T0 + 10_000, toMs: T0 + 20_000 }])
    expect(emptyStretches(drawn.cells, 1, 1)).toEqual([])
  })

  it('at full rate a channel read at other times is joined over the rows between, on the straight line', () => {
    const rows = rowsOf(
      history(0, every(10, 5), { drive_side: [1, null, 3, null, 5], operator_side: [null, 7, null, 9, null] }),
    )
    const drawn = picture(rows, ['drive_side', 'operator_side'])
    expect(drawn.columns.map(({ mean }) => mean)).toEqual([
      [1, 2, 3, 4, 5],
      [null, 7, 8, 9, null],
    ])
  })

  it('at full rate silence longer than a gap may be breaks the line', () => {
    const times = [...every(10, 3), T0 + 500, T0 + 510]
    const drawn = picture(rowsOf(history(0, times, { drive_side: [1, 2, 3, 4, 5] })), ['drive_side'])
    expect(drawn.columns[0]?.mean).toEqual([1, 2, 3, null, 4, 5])
    const lost = [1, ...Array.from({ length: 20 }, () => null), 2]
    const one = picture(rowsOf(history(0, every(10, 22), { drive_side: lost, operator_side: lost.map(() => 3) })), [
      'drive_side',
      'operator_side',
    ])
    expect(one.columns[0]?.mean).toEqual(lost)
  })

  it('a slow channel beside a fast one has no gaps of its own', () => {
    const times = every(10, 301)
    const slow = times.map((_, i) => (i % 100 === 0 ? 20 + i / 100 : null))
    const drawn = picture(rowsOf(history(0, times, { temperature: slow })), ['temperature'])
    expect(drawn.columns[0]?.mean.every((v) => v !== null)).toBe(true)
  })

  it('hatches what was recorded before the first row and is silent to the end, but not the moment still on its way', () => {
    const times = every(10_000, 2)
    const ends = { fromMs: T0 - 60_000, toMs: T0 + 80_000, keptFromMs: T0 - 600_000 }
    const drawn = picture(rowsOf(history(10_000, times, { drive_side: [1, 2] }, ends)), ['drive_side'], {
      rowMs: 5000,
      endMs: 20_000,
    })
    expect(drawn.columns[0]?.mean).toEqual([null, 1, 2, null])
    const fresh = { toMs: T0 + 35_000 }
    const followed = picture(rowsOf(history(10_000, times, { drive_side: [1, 2] }, fresh)), ['drive_side'], {
      rowMs: 5000,
      endMs: 20_000,
    })
    expect(followed.columns[0]?.mean).toEqual([1, 2])
  })

  it('is blank, not hatched, where nothing had been recorded yet', () => {
    const kept = { keptFromMs: T0 + 25_000 }
    const rows = rowsOf(history(10_000, every(10_000, 5), { drive_side: [null, null, 3, 4, 5] }, kept))
    const drawn = picture(rows, ['drive_side'], { rowMs: 5000, endMs: 20_000 })
    expect(drawn.columns[0]?.mean).toEqual([3, 4, 5])
    expect(emptyStretches(drawn.cells, 0, 1)).toEqual([])
  })

  it('leaves a share blank, and hatches nothing, where the web is slack: it was measured and says nothing', () => {
    const answer = history(10_000, every(10_000, 3), { imbalance: [2, 70, 3], total: [400, 4, -400] })
    const below = slackBelowN({ capacityN: { drive_side: 500, operator_side: 500 }, forceFactor: null })
    const drawn = picture(rowsOf(answer, below), ['imbalance'], { rowMs: 5000, endMs: 20_000 })
    expect(drawn.columns[0]?.mean).toEqual([2, null, 3])
    expect(emptyStretches(drawn.cells, 0, 1)).toEqual([])
    const [, imbalance] = bandsOf(ZONE, SI_CHOICE)
    const bands = imbalance === undefined ? [] : [imbalance]
    expect(cursorReading(rowsOf(answer, below), bands, T0 + 15_000, 100).lines).toEqual([
      { label: 'side difference', unit: '%', value: null, isBlank: true },
    ])
    // Without a total nobody knows that it was slack.
    const alone = rowsOf(history(10_000, [T0], { imbalance: [2] }), below)
    expect(picture(alone, ['imbalance'], { rowMs: 5000, endMs: 20_000 }).columns[0]?.mean).toEqual([2])
  })

  it('holds the good rows at their times and nothing else, and never runs over one that is missing', () => {
    const value = fc.option(fc.integer({ min: -100, max: 100 }), { freq: 2 })
    fc.assert(
      fc.property(fc.array(value, { minLength: 1, maxLength: 40 }), (means) => {
        const rows = rowsOf(history(10_000, every(10_000, means.length), { drive_side: means }))
        const drawn = picture(rows, ['drive_side'], { rowMs: 5000, endMs: 20_000 })
        const points = drawn.x.map((x, i) => ({ x, mean: drawn.columns[0]?.mean[i] ?? null }))
        const good = means.flatMap((mean, i) => (mean === null ? [] : [{ x: T0 + i * 10_000 + 5000, mean }]))
        expect(points.filter(({ mean }) => mean !== null)).toEqual(good)
        for (const [i, { x }] of points.entries()) {
          const next = points[i + 1]
          const isJoined = next !== undefined && points[i]?.mean !== null && next.mean !== null
          if (isJoined) expect(next.x - x).toBe(10_000)
        }
      }),
    )
  })
})

describe('the scale of a band', () => {
  const rows = rowsOf(history(10_000, every(10_000, 4), { imbalance: [2, 3, -60, 4] }))
  const parts = {
    picture: picture(rows, ['imbalance'], { rowMs: 5000, endMs: 20_000 }),
    earlier: null,
    trend: [],
    limit: null,
  }

  it('goes by steady running where that is known: a share of nothing must not flatten it', () => {
    const steady = [
      { fromMs: T0, toMs: T0 + 20_000 },
      { fromMs: T0 + 30_000, toMs: T0 + 40_000 },
    ]
    expect(bandExtent({ ...parts, steady })).toEqual({ lo: 1, hi: 5 })
    expect(bandExtent({ ...parts, steady: null })).toEqual({ lo: -61, hi: 5 })
    expect(bandExtent({ ...parts, steady: [] })).toEqual({ lo: -61, hi: 5 })
  })

  it('takes in the drift and, when asked, the limit', () => {
    const trend = [{ tMs: T0, middle: 5, lo: 4, hi: 9 }]
    expect(bandExtent({ ...parts, steady: [{ fromMs: T0, toMs: T0 + 20_000 }], trend })).toEqual({ lo: 1, hi: 9 })
    const limit = { target: 0, half: 10, source: 'a test' }
    expect(bandExtent({ ...parts, steady: null, limit })).toEqual({ lo: -61, hi: 10 })
  })
})

describe('several answers of the store', () => {
  const of = (bucketMs: number, fromMs: number, toMs: number) =>
    rowsOf(history(bucketMs, [fromMs], { drive_side: [1] }, { fromMs, toMs }))
  const whole = of(30_000, T0, T0 + 8 * 3.6e6)
  const closer = of(0, T0 + 1e6, T0 + 1.1e6)

  it('draw from the finest that covers what is shown, else from the one that covers it', () => {
    expect(bestRows([whole, closer], T0 + 1.02e6, T0 + 1.04e6)).toBe(closer)
    expect(bestRows([whole, closer], T0 + 1.05e6, T0 + 2e6)).toBe(whole)
    expect(bestRows([whole, closer], T0, T0 + 8 * 3.6e6)).toBe(whole)
    expect(bestRows([closer], T0 + 5e6, T0 + 6e6)).toBeNull()
  })
})

const ZONE: ZoneInfo = {
  id: 'z',
  name: 'Z',
  columns: ['drive_side', 'operator_side', 'speed', 'temperature'],
  totalMeans: 'tension',
  cellDistanceM: 1,
  webWidthM: 1,
  webOffsetM: 0,
  capacityN: { drive_side: 500, operator_side: 500 },
  forceFactor: { drive_side: 1.25, operator_side: 1.25 },
  rateHz: 10,
  averageSeconds: 30,
}

describe('the bands of a zone', () => {
  it('are those it has: both sides, their difference, the residual only with a geometry, and what else it reads', () => {
    expect(bandsOf(ZONE, SI_CHOICE).map(({ key }) => key)).toEqual(['sides', 'imbalance', 'speed', 'temperature'])
    expect(bandsOf({ ...ZONE, webMassKgM: 0.1 }, SI_CHOICE).map(({ key }) => key)).toContain('residual')
    const single: ZoneInfo = { ...ZONE, columns: ['single'], capacityN: { single: 500 } }
    expect(bandsOf(single, SI_CHOICE).map(({ key }) => key)).toEqual(['sides'])
  })

  it('tell both sides apart by word, colour and line, and show web tension where the force factor is known', () => {
    const [sides] = bandsOf(ZONE, SI_CHOICE)
    expect(sides?.lines.map(({ label, tone, isDashed }) => [label, tone, isDashed])).toEqual([
      ['drive side', 'drive', false],
      ['operator side', 'operator', true],
    ])
    expect(sides?.lines[0]?.map.factor).toBeCloseTo(1 / 1.25, 12)
  })
})

describe('the cursor', () => {
  const bands = bandsOf(ZONE, SI_CHOICE)

  it('reads the bucket under it, with how many good samples that is the mean of', () => {
    const rows = rowsOf(history(10_000, every(10_000, 3), { drive_side: [125, 250, 375], speed: [1, 2, null] }))
    const { row, lines } = cursorReading(rows, bands, T0 + 12_000, 100)
    expect(row).toEqual({ fromMs: T0 + 10_000, toMs: T0 + 20_000 })
    expect(lines[0]).toMatchObject({ label: 'drive side', unit: 'N', value: { mean: 200, n: 10 } })
    expect(lines[1]?.value).toBeNull()
    expect(lines.find(({ label }) => label === 'web speed')?.value?.mean).toBeCloseTo(120, 9)
    expect(
      cursorReading(rows, bands, T0 + 25_000, 100).lines.find(({ label }) => label === 'web speed')?.value,
    ).toBeNull()
  })

  it('at full rate reads the nearest sample of each line, and nothing across a gap', () => {
    const rows = rowsOf(
      history(0, [...every(100, 3), T0 + 5000], {
        drive_side: [125, null, 250, 375],
        operator_side: [1.25, 2.5, 3.75, 5],
      }),
    )
    const at = (ms: number) => cursorReading(rows, bands, T0 + ms, 300).lines.map(({ value }) => value?.mean ?? null)
    expect(at(110).slice(0, 2)).toEqual([200, 2])
    expect(cursorReading(rows, bands, T0 + 2500, 300).row).toBeNull()
    expect(at(2500).slice(0, 2)).toEqual([null, null])
  })
})

describe('the table of what is drawn', () => {
  it('weighs the means of rows by their good samples, and says nothing of a stretch without one', () => {
    const answer = history(1000, every(1000, 4), { drive_side: [10, 20, null, null] })
    const series = answer.series.drive_side
    if (series !== undefined) series.n = [30, 10, 0, 0]
    const table = coarseRows(rowsOf(answer), [side('drive_side')], { fromMs: T0, toMs: T0 + 4000 }, 2)
    expect(table.map(({ cells }) => cells[0])).toEqual([{ mean: 12.5, lo: 9, hi: 21, n: 40 }, null])
  })
})
