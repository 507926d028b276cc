import { describe, expect, it } from 'vitest'
import { analyseShift } from '../../lib/drift/analyse-shift.ts'
import { compareResults } from '../../lib/verification/compare.ts'
import type { ResultEntry } from '../../lib/verification/comparing/told.ts'
import { cellScale } from '../../lib/verification/context.ts'
import { judgeTest } from '../../lib/verification/judge-test.ts'
import type { ShiftAnalysis } from '../../shared/schemas/shift.ts'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import type { RecordEntry } from '../../shared/schemas/verification.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { MINUTE_MS, minuteAt, OPTIONS, START_MS } from '../drift/made-minutes.ts'
import { normal } from '../statistics/noise-sources.ts'
import { DEAD, figure, halfTurn, madeContext, withSide } from './support/made-context.ts'
import { captured, judged } from './support/made-record.ts'

const context = halfTurn()
const both = (force: number) => ({ drive_side: { force, u: 0.02 }, operator_side: { force, u: 0.02 } })

function shiftOf(minutes: number, of: (i: number) => Partial<ZoneMinute>, options = OPTIONS): ShiftAnalysis {
  const all = Array.from({ length: minutes }, (_, i) => minuteAt(i, of(i)))
  const findings = analyseShift({ fromMs: START_MS, toMs: START_MS + minutes * MINUTE_MS, minutes: all }, options)
  return { ...findings, source: 'memory', sourceSentence: 'From memory.' }
}

function held(shift: ShiftAnalysis | null, at = context) {
  const capture = captured(context, 'hold', both(100))
  const captures = [{ ...capture, toMs: capture.fromMs + 8 * 3_600_000 }]
  return judgeTest(at, 'warm.hold', { phase: 'as-left', values: {}, captures, earlier: [], shift })
}
const noisy = (seed: number) => {
  const next = normal(seed)
  return () => 0.1 * next()
}

describe('a warm hold', () => {
  it('that stands is inside: both rates with their limit, and no step', () => {
    const [a, b] = [noisy(1), noisy(2)]
    const result = held(shiftOf(480, () => ({ residual: a(), imbalance: b() })))
    expect(result.state).toBe('inside')
    expect(figure(result, 'drift-residual').limit?.high).toBe(0.3)
    expect(figure(result, 'steps').value).toBe(0)
  })

  it('that drifts by 1 %/h is outside, and its rate is that', () => {
    const [a, b] = [noisy(3), noisy(4)]
    const result = held(shiftOf(480, (i) => ({ residual: i / 60 + a(), imbalance: b() })))
    expect(figure(result, 'drift-residual').value).toBeCloseTo(1, 1)
    expect(figure(result, 'drift-imbalance').verdict.state).toBe('inside')
    expect(result.state).toBe('outside')
  })

  it('that stepped is outside by the step alone', () => {
    const [a, b] = [noisy(5), noisy(6)]
    const result = held(shiftOf(480, (i) => ({ residual: (i < 200 ? 0 : 3) + a(), imbalance: b() })))
    expect(figure(result, 'steps')).toMatchObject({ value: 1, verdict: { state: 'outside' } })
  })

  it('too short is unknown, says what it waits for, and takes no step seen for none there', () => {
    const [a, b] = [noisy(7), noisy(8)]
    const result = held(shiftOf(12, () => ({ residual: a(), imbalance: b() })))
    expect(result.state).toBe('unknown')
    expect(figure(result, 'drift-residual').verdict.sentence).toMatch(/30|minutes/)
    expect(figure(result, 'steps').verdict.sentence).toContain('12 so far')
  })

  it('without a shift, or with nothing that could drift, is not done', () => {
    expect(held(null).state).toBe('not-done')
    const nothing = { ...OPTIONS, hasGeometry: false, sides: ['single'] as const, spansN: null, largestN: null }
    expect(held(shiftOf(480, () => ({}), nothing)).state).toBe('not-done')
    const single = madeContext({ cells: { single: 'ds' }, force_factor: 2 })
    expect(
      held(
        shiftOf(480, () => ({}), nothing),
        single,
      ).sentence,
    ).toContain('does not apply')
  })

  it('names what goes with temperature', () => {
    const [a, b] = [noisy(9), noisy(10)]
    const warmth = (i: number) => 25 + 5 * Math.sin(i / 40)
    const result = held(
      shiftOf(480, (i) => ({ residual: 0.2 * warmth(i) + a(), imbalance: b(), temperature: warmth(i) })),
    )
    const found = figure(result, 'residual-with-temperature')
    expect(found.value).toBeCloseTo(0.2, 1)
    expect(found.u ?? 0).toBeGreaterThan(0)
  })
})

describe('the return to zero', () => {
  const zero = (force: number, more: Partial<Capture> = {}) => captured(context, 'zero', both(force), more)
  // 0.2 % of 200 N is 0.4 N; u 0.02 N.
  it.each([
    [0.3, 'inside'],
    [-0.3, 'inside'],
    [0.38, 'undecided'],
    [0.5, 'outside'],
    [-0.5, 'outside'],
  ])('%f N off is %s', (force, state) => {
    const result = judged(context, 'warm.zero-return', {}, [zero(force)])
    expect(figure(result, 'zero-return', 'drive_side').value).toBeCloseTo(force / 2, 9)
    expect(result.state).toBe(state)
  })

  it('a dead side is unknown; three seconds are not enough', () => {
    expect(judged(context, 'warm.zero-return', {}, [withSide(zero(0), 'drive_side', DEAD)]).state).toBe('unknown')
    const short = zero(0)
    expect(judged(context, 'warm.zero-return', {}, [{ ...short, toMs: short.fromMs + 3000 }]).state).toBe('not-done')
  })

  const entry = (test: 'electric.channels' | 'fit.bolts', captures: Capture[]) =>
    ({ kind: 'result', test, captures }) as unknown as RecordEntry
  const cold = (degrees: number) => captured(context, 'still', both(0), { temperature: { value: degrees, u: 0.05 } })
  const warmed = (earlier: RecordEntry[]) =>
    judgeTest(context, 'warm.zero-return', {
      phase: 'as-left',
      values: {},
      captures: [zero(0.3, { temperature: { value: 40, u: 0.05 } })],
      earlier,
      shift: null,
    })

  it('against a standing capture at 20 °C, 0.3 N at 40 °C are 0.15 % of span over 20 K', () => {
    const result = warmed([entry('electric.channels', [cold(20), cold(37)])])
    const found = figure(result, 'zero-with-temperature', 'drive_side')
    expect(found.value).toBeCloseTo(0.15 / 20, 6)
    // Readings 0.02 N each, temperatures 0.5 K each.
    expect(found.u).toBeCloseTo(Math.hypot((0.01 * Math.SQRT2) / 20, ((0.15 / 20) * 0.5 * Math.SQRT2) / 20), 6)
    expect(found.verdict.state).toBe('inside')
  })

  it('temperatures too near, or cells fitted anew since, tell nothing of it', () => {
    const told = (earlier: RecordEntry[]) => warmed(earlier).figures.some(({ id }) => id === 'zero-with-temperature')
    expect(told([entry('electric.channels', [cold(37)])])).toBe(false)
    expect(told([entry('electric.channels', [cold(20)]), entry('fit.bolts', [])])).toBe(false)
    expect(told([entry('fit.bolts', []), entry('electric.channels', [cold(20)])])).toBe(true)
  })
})

describe('the baseline', () => {
  const baseline = () => {
    const capture = captured(context, 'baseline', both(100))
    return { ...capture, toMs: capture.fromMs + 60_000 }
  }
  it('keeps force and noise of a good minute', () => {
    const result = judged(context, 'warm.fingerprint', {}, [baseline()])
    expect(figure(result, 'baseline-force', 'drive_side').value).toBe(100)
    expect(result.state).toBe('inside')
  })
  const atTension = (newtons: number, off = 0) => ({
    ...baseline(),
    sides: captured(context, 'baseline', both(newtons + off)).sides,
    reference: { value: newtons, u: 0.1 },
    speed: { value: 0.001, u: 0.00001 },
  })
  it('keeps each figure at its operating point, with its whole uncertainty and without a limit', () => {
    const { figures } = judged(context, 'warm.fingerprint', {}, [atTension(100)])
    const force = figures.find(({ id, side }) => id === 'baseline-force' && side === 'drive_side')
    expect(force?.point).toBe('0.06 m/min, 100 N')
    // 0.02 N of scatter, 0.5 % of gain and 0.1 % of 500 N of zero where the config says nothing else.
    const scale = cellScale(context, 'drive_side')
    expect(force?.u).toBeCloseTo(Math.hypot(0.02, 100 * scale.gainU, scale.zeroUN), 9)
    expect(figures.filter(({ limit }) => limit !== null).map(({ id }) => id)).toEqual(['captured'])
    for (const id of ['baseline-agreement', 'baseline-imbalance', 'baseline-noise', 'baseline-once-per-turn'])
      expect(figures.map((one) => one.id)).toContain(id)
  })
  it('another set tension is no change of the install; a side that reads 10 % off is', () => {
    const visit = (newtons: number, off = 0) => {
      const captures = [atTension(newtons, off)]
      const result = judged(context, 'warm.fingerprint', {}, captures)
      return { kind: 'result', test: 'warm.fingerprint', title: 'Baseline', captures, result } as unknown as ResultEntry
    }
    const since = (now: ResultEntry) => compareResults([visit(100)], [now])
    expect(since(visit(106)).changed).toEqual([])
    expect(since(visit(106)).unchanged.map(({ figure }) => figure)).toContain('baseline-agreement')
    expect(since(visit(106, 10.6)).changed.map(({ figure }) => figure)).toContain('baseline-agreement')
  })
  it('with a side that was not good is none', () => {
    expect(judged(context, 'warm.fingerprint', {}, [withSide(baseline(), 'drive_side', DEAD)]).state).toBe('outside')
  })
})
