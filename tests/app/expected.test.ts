import { describe, expect, it } from 'vitest'
import { bandExtent, expectedBand } from '../../app/_plots/expected-band.ts'
import { EXPECTED_HOLE_MS, ExpectedHistory } from '../../app/_stream/expected-history.ts'
import { BACKLOG_SECONDS } from '../../shared/protocol/version.ts'
import type { Figure, ZoneNow } from '../../shared/schemas/now.ts'

const figure = (value: number | null, U: number | null): Figure => ({
  value,
  unit: 'N',
  u: null,
  uRandom: null,
  U,
  k: 2,
  dof: null,
  limit: null,
  verdict: { state: 'not-done', reason: { kind: 'no-limit' }, sentence: '' },
  window: null,
  timeMs: null,
  waiting: null,
  why: { formula: '', source: '', inputs: [] },
})

/** A picture at a time in which this was expected of both sides; null for nothing, undefined for no geometry. */
function picture(timeMs: number, expected: number | null | undefined): ZoneNow {
  const side = {
    live: {
      channel: 'c',
      value: 1,
      unit: 'N',
      electrical: null,
      electricalUnit: null,
      raw: 1,
      code: 'good' as const,
      timeMs,
      halfWidthMs: 0,
    },
    force: figure(1, 1),
    noise: figure(1, 1),
    peakToPeak: figure(1, 1),
    capacityN: 500,
    ...(expected === undefined ? {} : { expected: figure(expected, expected === null ? null : 4) }),
  }
  return {
    zone: 'z',
    timeMs,
    sides: { drive_side: side, operator_side: side },
    total: figure(1, 1),
    totalMeans: 'tension',
    rateOfTotal: figure(0, 1),
    steady: { state: 'steady', sentence: '', forSeconds: 1 },
    aux: {},
    ...(expected === undefined ? {} : { agreement: figure(0, 1) }),
  }
}

const PLAIN = { factor: 1, offset: 0 }
const band = (history: ExpectedHistory, map = PLAIN) =>
  expectedBand(history.points, 'drive_side', map, 0, 1e6).stretches

describe('what was expected, kept as each picture said it', () => {
  it('keeps the past as it was when the expectation changes', () => {
    const history = new ExpectedHistory()
    history.note(picture(250, 100))
    history.note(picture(500, 140))
    expect(
      band(history)
        .flat()
        .map(({ middle }) => middle),
    ).toEqual([100, 140])
  })

  it('leaves nothing of a zone without geometry, nor of a picture told twice', () => {
    const history = new ExpectedHistory()
    history.note(picture(250, undefined))
    history.note(picture(500, 100))
    history.note(picture(500, 100))
    expect(history.points).toHaveLength(1)
  })

  it('is bounded by the time that samples are kept for', () => {
    const history = new ExpectedHistory()
    for (let i = 0; i < 40_000; i += 1) history.note(picture(i * 250, 100))
    expect(history.points.length).toBeLessThan(BACKLOG_SECONDS * 4 + 600)
    expect(history.points.at(-1)?.tMs).toBe(39_999 * 250)
  })

  it('stands still once frozen', () => {
    const history = new ExpectedHistory()
    history.note(picture(250, 100))
    const frozen = history.frozen()
    history.note(picture(500, 100))
    expect(frozen).toHaveLength(1)
  })
})

describe('the band behind the traces', () => {
  it('runs from expected − U to expected + U in shown units', () => {
    const history = new ExpectedHistory()
    history.note(picture(250, 100))
    const [stretch] = band(history, { factor: -0.5, offset: 10 })
    expect(stretch).toEqual([{ tMs: 250, middle: -40, lo: -42, hi: -38 }])
  })

  it('breaks where nothing was expected, and where no picture came', () => {
    const history = new ExpectedHistory()
    for (const [tMs, value] of [
      [250, 100],
      [500, 100],
      [750, null],
      [1000, 101],
      [1000 + EXPECTED_HOLE_MS + 1, 102],
    ] as const)
      history.note(picture(tMs, value))
    expect(band(history).map((stretch) => stretch.length)).toEqual([2, 1, 1])
  })

  it('counts in the scale by its edges', () => {
    const history = new ExpectedHistory()
    history.note(picture(250, 100))
    history.note(picture(500, 120))
    expect(bandExtent([{ stretches: band(history) }])).toEqual({ lo: 96, hi: 124 })
    expect(bandExtent([{ stretches: [] }])).toBeNull()
  })
})
