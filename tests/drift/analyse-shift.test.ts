import { describe, expect, test } from 'vitest'
import { analyseShift, type ShiftFindings } from '../../lib/drift/analyse-shift.ts'
import { type Drift, type DriftQuantity, shiftAnalysis } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { normal } from '../statistics/noise-sources.ts'
import { MINUTE_MS, minuteAt, OPTIONS, START_MS } from './made-minutes.ts'

const minutesOf = (n: number, change: (i: number) => Partial<ZoneMinute>): ZoneMinute[] =>
  Array.from({ length: n }, (_, i) => minuteAt(i, change(i)))

function analyse(minutes: readonly ZoneMinute[], options = OPTIONS): ShiftFindings {
  const toMs = (minutes.at(-1)?.tMs ?? START_MS) + MINUTE_MS
  return analyseShift({ fromMs: START_MS, toMs, minutes }, options)
}

function driftOf({ drifts }: ShiftFindings, quantity: DriftQuantity): Drift {
  const found = drifts.find((drift) => drift.quantity === quantity)
  if (found === undefined) throw new Error(`no drift of ${quantity}`)
  return found
}

const noisy = (seed: number, sd: number) => {
  const next = normal(seed)
  return () => sd * next()
}

describe('a shift in which the agreement drifts by 1 %/h and the side difference stands', () => {
  const scatter = noisy(1, 0.2)
  const own = noisy(2, 0.2)
  const found = analyse(minutesOf(480, (i) => ({ residual: i / 60 + scatter(), imbalance: 3 + own() })))
  const agreement = driftOf(found, 'agreement')

  test('is a valid body of /api/zones/ID/shift, also through JSON', () => {
    const body = { ...found, source: 'memory', sourceSentence: 'From memory.' }
    expect(shiftAnalysis.parse(JSON.parse(JSON.stringify(body)))).toEqual(body)
  })

  test('tells the rate with its interval, and judges it against the limit of the config', () => {
    expect(agreement.rate.value).toBeCloseTo(1, 1)
    expect(agreement.low).toBeLessThan(1)
    expect(agreement.high).toBeGreaterThan(1)
    expect(agreement.rate).toMatchObject({ unit: '%/h', limit: OPTIONS.rateLimit, verdict: { state: 'outside' } })
    expect(agreement.rate.window).toMatchObject({ seconds: 480 * 60, samples: 480 })
    expect(agreement.trend?.p).toBeLessThan(0.001)
  })

  test('says that it is beyond the limit of the agreement already: 8 % against 5 % of expected', () => {
    expect(agreement.forecast).toMatchObject({ state: 'beyond', hours: 0, limit: { half: 5 } })
    expect(agreement.line?.atTo).toBeCloseTo(8, 0)
  })

  test('leaves the side difference inside', () => {
    const side = driftOf(found, 'side_difference')
    expect(side.rate.verdict.state).toBe('inside')
    expect(side.rate.unit).toBe('points/h')
    expect(side.trend?.p).toBeGreaterThan(0.05)
  })

  test('finds no step: a drift is none', () => expect(found.steps).toEqual([]))

  test('signals on both charts of the agreement, upwards, and on none of the side difference', () => {
    const states = found.charts.map(({ quantity, state, direction }) => [quantity, state, direction])
    expect(states).toEqual([
      ['agreement', 'signal', 'up'],
      ['agreement', 'signal', 'up'],
      ['side_difference', 'in-control', null],
      ['side_difference', 'in-control', null],
    ])
  })

  test('says that the span cannot be told apart from the zero at one tension', () => {
    const span = driftOf(found, 'span')
    expect(span.rate.value).toBeNull()
    expect(span.rate.verdict.state).toBe('unknown')
    expect(span.rate.waiting).toMatch(/^Two tensions at least 20 % apart at different times, or a zero track/)
  })
})

describe('what a shift waits for', () => {
  test('a drift of 30 steady minutes', () => {
    const found = analyse(minutesOf(20, () => ({})))
    expect(driftOf(found, 'agreement').rate.waiting).toBe('A drift is told from 30 steady minutes on: 10 more.')
    expect(found.charts).toEqual([])
  })

  test('a zero of slack minutes, in two stretches', () => {
    const found = analyse(minutesOf(60, () => ({})))
    expect(found.zero.waiting).toBe('Waits for a minute with the web slack or off.')
    expect(driftOf(found, 'zero_drive_side').rate.waiting).toMatch(
      /^10 minutes with the web slack or off, in 2 stretches/,
    )
  })

  test('everything, of a stretch without minutes', () => {
    const found = analyseShift({ fromMs: START_MS, toMs: START_MS + 60 * MINUTE_MS, minutes: [] }, OPTIONS)
    expect(found.minutes).toEqual({ asked: 60, kept: 0, judged: 0 })
    expect(found.periods).toEqual([
      { state: 'missing', fromMs: START_MS, toMs: START_MS + 60 * MINUTE_MS, minutes: 60 },
    ])
    expect(found.drifts.every(({ rate }) => rate.value === null && rate.verdict.state === 'unknown')).toBe(true)
    expect(found.steadiness).toBe('none')
  })

  test('minutes that moved, stopped or are unknown are not judged', () => {
    const states = ['steady', 'moving', 'stopped', 'slack', 'unknown', 'assumed'] as const
    const found = analyse(minutesOf(60, (i) => ({ state: states[i % 6] as (typeof states)[number] })))
    expect(found.minutes.judged).toBe(20)
    expect(found.steadiness).toBe('assumed')
  })
})
