import { describe, expect, it } from 'vitest'
import { LEFT, RIGHT, spectrumFrame } from '../../app/_ui/live/spectrum/frame.ts'
import { lineRows } from '../../app/_ui/live/spectrum/line-rows.ts'
import type { ToldSignal } from '../../app/_ui/live/spectrum/signals.ts'
import type { LineCandidate, SpectralLineView, SpectrumSignal } from '../../shared/schemas/spectrum.ts'

const candidate = (words: string, seenHz: number): LineCandidate => ({
  kind: 'turn',
  name: words,
  order: 1,
  words,
  frequencyHz: seenHz,
  U: 0.1,
  seenHz,
  folded: false,
})
const line = (frequencyHz: number, U_Hz = 0.01, candidates: LineCandidate[] = []): SpectralLineView => ({
  frequencyHz,
  U_Hz,
  order: null,
  amplitude: 1,
  U: 0.1,
  falseAlarm: 1e-6,
  candidates,
  smeared: false,
})
const told = (signal: SpectrumSignal, lines: SpectralLineView[], amplitude = [0.5, 0.02, 0.3]): ToldSignal => ({
  signal,
  view: {
    state: 'told',
    method: 'welch',
    sentence: '',
    fromMs: 0,
    toMs: 60_000,
    samples: 6000,
    rateHz: 100,
    jitter: 0,
    segments: 10,
    binHz: 0.1,
    noiseBandwidthHz: 0.15,
    resolutionHz: 0.2,
    lowestHz: 0.3,
    startHz: 1,
    stepHz: 1,
    amplitude,
    floor: amplitude.map(() => 0.015),
    lines,
  },
})

describe('rows of the table of lines', () => {
  it('lines of both sides within one resolution are one row, at the better known place, with all candidates once', () => {
    const [a, b] = [candidate('a', 8.49), candidate('b', 8.6)]
    const rows = lineRows([
      told('drive_side', [line(8.55, 0.05, [b]), line(30)]),
      told('operator_side', [line(8.49, 0.01, [a, b])]),
    ])
    expect(rows).toHaveLength(2)
    expect(rows[0]).toMatchObject({ number: 1, frequencyHz: 8.49, U_Hz: 0.01 })
    expect(Object.keys(rows[0]?.lines ?? {}).sort()).toEqual(['drive_side', 'operator_side'])
    expect(rows[0]?.candidates.map(({ words }) => words)).toEqual(['a', 'b'])
    expect(rows[1]?.lines.operator_side).toBeUndefined()
  })
  it('two lines of one side never share a row, however near', () => {
    expect(lineRows([told('drive_side', [line(8.5), line(8.6)])])).toHaveLength(2)
  })
  it('none for no line', () => expect(lineRows([told('sum', [])])).toEqual([]))
})

describe('the picture', () => {
  const both = [told('drive_side', []), told('operator_side', [])]
  it('runs from 0 Hz to half the sampling rate, in whole powers of ten of the reader’s unit', () => {
    const frame = spectrumFrame(both, 800, 1, null)
    expect([frame.x(0), frame.x(50)]).toEqual([LEFT, 800 - RIGHT])
    expect(frame.yTicks.map(({ text }) => text)).toEqual(['0.01', '0.1', '1'])
    expect(frame.y(1)).toBeLessThan(frame.y(0.1))
    // 1 lbf is 4.448 N: 0.5 N is 0.11 lbf, 0.015 N is 0.0034 lbf.
    const pounds = spectrumFrame(both, 800, 1 / 4.448_222, null)
    expect(pounds.yTicks.map(({ text }) => text)).toEqual(['0.001', '0.01', '0.1', '1'])
    expect(pounds.y(4.448_222)).toBeCloseTo(frame.y(1), 6)
  })
  it('in turns: the mark 1 stands at the turn of the measuring roller', () => {
    const frame = spectrumFrame(both, 800, 1, 8.488)
    expect(frame.xTicks.find(({ text }) => text === '1')?.hz).toBeCloseTo(8.488, 9)
  })
  it('without any power keeps an axis', () => {
    const frame = spectrumFrame([told('single', [], [0, 0, 0])], 300, 1, null)
    expect(frame.yTicks.length).toBeGreaterThan(1)
    expect(Number.isFinite(frame.y(0))).toBe(true)
  })
})
