import { describe, expect, it } from 'vitest'
import { bandExtent, expectedBand } from '../../app/_plots/expected-band.ts'
import { EXPECTED_HOLE_MS, ExpectedHistory } from '../../app/_stream/expected-history.ts'
import { expectedMessageOf, expectedPointsOf } from '../../shared/protocol/expected.ts'
import { serverMessage } from '../../shared/protocol/messages.ts'
import { BACKLOG_SECONDS } from '../../shared/protocol/version.ts'
import { picture } from '../stream/support/picture.ts'

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

  it('begins with what the gateway kept from before this page looked, and fills the holes of an outage with it', () => {
    const history = new ExpectedHistory()
    for (const tMs of [10_000, 10_250, 20_000, 20_250]) history.note(picture(tMs, 100))
    const kept = [8000, 9000, 10_100, 11_000, 19_000, 20_100, 21_000]
    history.fill(kept.map((tMs) => ({ tMs, at: { drive_side: { value: 90, U: 4 } } })))
    expect(history.points.map(({ tMs }) => tMs)).toEqual([
      8000, 9000, 10_000, 10_250, 11_000, 19_000, 20_000, 20_250, 21_000,
    ])
    // What this page was told itself stays.
    expect(history.points.filter(({ at }) => at?.drive_side?.value === 100)).toHaveLength(4)
    history.note(picture(21_250, 100))
    expect(history.points.at(-1)?.tMs).toBe(21_250)
  })

  it('comes over the wire as it was, to six digits; nothing expected stays nothing', () => {
    const points = [
      { tMs: 1000, at: { drive_side: { value: 123.456, U: 4.5 }, operator_side: { value: 120, U: 4 } } },
      { tMs: 2000, at: null },
      { tMs: 3000, at: { operator_side: { value: 121, U: 4 } } },
    ]
    const message = serverMessage.parse(JSON.parse(JSON.stringify(expectedMessageOf('z', points))))
    expect(message.type === 'expected' && expectedPointsOf(message)).toEqual(points)
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
