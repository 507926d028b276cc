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
    expect(span.rate.waiting).toMatch(
      /^A ratio is told from an offset by two tensions at least 20 % apart at different times, or by a zero/,
    )
  })
})

describe('what a shift waits for', () => {
  test('a drift of 30 steady minutes', () => {
    const found = analyse(minutesOf(20, () => ({})))
    expect(driftOf(found, 'agreement').rate.waiting).toBe('A drift is told from 30 steady minutes on: 10 more.')
    expect(found.charts).toEqual([])
  })

  test('a zero of slack minutes, in four stretches', () => {
    const found = analyse(minutesOf(60, () => ({})))
    expect(found.zero.waiting).toBe('Waits for a minute with the web slack or off.')
    expect(driftOf(found, 'zero_drive_side').rate.waiting).toMatch(
      /^A zero's drift is told from 10 minutes with the web slack or off, in 4 stretches/,
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

describe('a step of the side difference is told apart from a drift', () => {
  const own = noisy(33, 0.1)
  const minutes = minutesOf(480, (i) => ({
    imbalance: (i < 200 ? 1 : 3) + own(),
    revision: i < 199 ? 'first' : 'second',
  }))
  const found = analyse(minutes)

  test('found at its minute, with its size, uncertainty and the revision that came with it', () => {
    expect(found.steps).toHaveLength(1)
    const [step] = found.steps
    expect(step).toMatchObject({ quantity: 'side_difference', unit: '%', revision: 'second' })
    expect(Math.abs((step?.timeMs ?? 0) - START_MS - 200 * MINUTE_MS)).toBeLessThanOrEqual(2 * MINUTE_MS)
    expect(Math.abs((step?.size ?? 0) - 2)).toBeLessThanOrEqual(step?.U ?? 0)
    expect(step?.sentence).toMatch(
      /^Stepped by \+2.* ± .* % within a few minutes, when revision second of the config came into force\.$/,
    )
  })

  test('leaves no drift behind: no slope is taken across it', () => {
    const side = driftOf(found, 'side_difference')
    expect(side.rate.verdict.state).toBe('inside')
    expect(Math.abs(side.rate.value ?? 9)).toBeLessThan(0.05)
    // The line to be drawn is that of the last stretch, and is not drawn over the level before it.
    expect(side.line?.atTo).toBeCloseTo(3, 1)
    expect(side.line?.fromMs).toBe(found.steps[0]?.timeMs)
  })
})

describe('more minutes than a series has points', () => {
  const scatter = noisy(6, 0.2)
  const day = minutesOf(1440, () => ({ residual: scatter() }))
  const toMs = START_MS + 1440 * MINUTE_MS
  const baseline = { fromMs: START_MS, toMs, minutes: day }
  const found = analyseShift({ fromMs: START_MS, toMs, minutes: day, baseline }, OPTIONS)

  test('are all counted as minutes', () => {
    expect(driftOf(found, 'agreement').rate.window?.samples).toBe(1440)
    expect(found.baseline?.changes.find(({ what }) => what === 'agreement')?.after?.minutes).toBe(1440)
  })
  test('make the minutes that a chart learns from what they are', () => {
    const normalOf = found.charts.find(({ quantity }) => quantity === 'agreement')?.normal
    expect(normalOf?.minutes).toBe(((normalOf?.toMs ?? 0) - (normalOf?.fromMs ?? 0)) / MINUTE_MS)
  })
})

describe('zero and span drift apart', () => {
  const [scatter, still] = [noisy(4, 0.05), noisy(5, 0.05)]
  /** Ten minutes slack in every hundred; the zero of the drive side grows by 0.4 N/h, 0.2 % of its span. */
  const slack = (i: number) => i % 100 < 10
  const zeros = (i: number): Partial<ZoneMinute> => {
    const drive = 0.5 + (0.4 * i) / 60 + scatter()
    const operator = 0.2 + still()
    return {
      state: 'slack',
      force: { drive_side: drive, operator_side: operator },
      total: drive + operator,
      residual: null,
    }
  }

  test('a zero that drifts: in % of span an hour, and the ratio keeps still', () => {
    const minutes = minutesOf(480, (i) =>
      // Half an arrow a side, k = 1 on both: the zero's 0.4 N/h is 0.2 % of 200 N an hour.
      slack(i) ? zeros(i) : { residual: (0.2 * i) / 60 + scatter() },
    )
    const found = analyse(minutes)
    const drive = driftOf(found, 'zero_drive_side')
    expect(drive.rate).toMatchObject({ unit: '%/h', limit: { half: 0.3 }, verdict: { state: 'inside' } })
    expect(drive.rate.value).toBeCloseTo(0.2, 1)
    expect(driftOf(found, 'zero_operator_side').rate.value).toBeCloseTo(0, 1)
    expect(driftOf(found, 'agreement').rate.value).toBeCloseTo(0.2, 1)
    const span = driftOf(found, 'span')
    expect(span.rate.why.formula).toMatch(/^drift of the agreement less the drift of the zero/)
    expect(Math.abs(span.rate.value ?? 9)).toBeLessThanOrEqual(span.rate.U ?? 0)
    expect(span.rate.verdict.state).toBe('inside')
    expect(found.zero.sides.map(({ side, points }) => [side, points.length])).toEqual([
      ['drive_side', 5],
      ['operator_side', 5],
    ])
  })

  test('a ratio that drifts, seen at two tensions: 0.5 %/h of each, and no offset', () => {
    const found = analyse(
      minutesOf(480, (i) => {
        const expected = i % 120 < 60 ? 150 : 250
        return { expected, residual: (0.5 * i) / 60 + scatter() }
      }),
    )
    const span = driftOf(found, 'span')
    expect(span.rate.why.formula).toMatch(/^least squares of \(measured − expected\)/)
    expect(Math.abs((span.rate.value ?? 9) - 0.5)).toBeLessThanOrEqual(span.rate.U ?? 0)
    expect(span.rate.verdict.state).not.toBe('inside')
  })

  test('an offset that drifts, seen at two tensions: the ratio keeps still', () => {
    const found = analyse(
      minutesOf(480, (i) => {
        const expected = i % 120 < 60 ? 150 : 250
        return { expected, residual: (100 * ((1 * i) / 60 + scatter())) / expected }
      }),
    )
    const span = driftOf(found, 'span')
    expect(Math.abs(span.rate.value ?? 9)).toBeLessThanOrEqual(span.rate.U ?? 0)
  })

  test('a machine that stands under tension tells no zero', () => {
    const found = analyse(minutesOf(60, (i) => (i < 30 ? { state: 'stopped', total: 200 } : {})))
    expect(found.zero.waiting).not.toBeNull()
    const slackStop = analyse(minutesOf(60, (i) => (i < 30 ? { state: 'stopped', total: 2 } : {})))
    expect(slackStop.zero.sides[0]?.points).toMatchObject([{ minutes: 30, value: 100 }])
  })

  test('without geometry a zero is told in N, and not judged: nobody knows the span', () => {
    const found = analyse(
      minutesOf(480, (i) => (slack(i) ? zeros(i) : {})),
      { ...OPTIONS, hasGeometry: false, spansN: null, largestN: null },
    )
    const drive = driftOf(found, 'zero_drive_side')
    expect(drive.rate).toMatchObject({ unit: 'N/h', limit: null, verdict: { state: 'not-done' } })
    expect(drive.rate.value).toBeCloseTo(0.4, 1)
    expect(found.drifts.map(({ quantity }) => quantity)).toEqual([
      'side_difference',
      'zero_drive_side',
      'zero_operator_side',
    ])
  })
})

describe('what goes with the temperature', () => {
  const [scatter, other] = [noisy(6, 0.1), noisy(7, 0.1)]

  test('is told with its slope, and always with the caveat', () => {
    const warm = (i: number) => 25 + 3 * Math.sin(i / 40)
    const found = analyse(minutesOf(480, (i) => ({ temperature: warm(i), residual: 0.2 * warm(i) + scatter() })))
    const told = found.correlations.find(({ quantity }) => quantity === 'agreement')
    expect(told?.with).toBe('temperature')
    expect(told?.slope).toBeCloseTo(0.2, 1)
    expect(told?.p).toBeLessThan(0.05)
    // Of a difference of temperatures: K, so that no reader takes it for a temperature.
    expect(told?.sentence).toMatch(/^Apart from the trend it goes with the temperature: 0\.\d+ % per K\.$/)
    expect(told?.caveat).toMatch(/^Correlation under a shared trend is no proof/)
    expect(told?.effectiveN).toBeLessThan(100)
  })

  test('two things that only share a trend: strongly correlated as measured, and not apart from the trend', () => {
    const found = analyse(
      minutesOf(480, (i) => ({ temperature: 25 + i / 60 + other(), residual: i / 100 + scatter() })),
    )
    const told = found.correlations.find(({ quantity }) => quantity === 'agreement')
    expect(told?.r).toBeGreaterThan(0.95)
    expect(told?.p).toBeGreaterThan(0.05)
    expect(told?.sentence).toBe('Apart from the trend it does not follow the temperature beyond chance.')
  })

  test('nothing is told of a temperature that stands', () => {
    expect(analyse(minutesOf(480, () => ({ residual: scatter() }))).correlations).toEqual([])
  })
})

describe('how long to average', () => {
  test('to the least Allan deviation: noise of 1 % over a drift', () => {
    const scatter = noisy(8, 1)
    const found = analyse(minutesOf(480, (i) => ({ residual: i / 20 + scatter() })))
    const allan = found.allan.find(({ quantity }) => quantity === 'agreement')
    // σ²(τ) = 1/m + (m/20)²/2 is least at m = (20² )^(1/3) ≈ 7.4 minutes; powers of two are tried.
    expect(allan?.suggestedSeconds).toBe(480)
    // White noise of 1 % has an Allan deviation of 1/√m.
    expect(allan?.points[0]?.deviation).toBeCloseTo(1, 0)
  })
})

describe('against an earlier stretch', () => {
  const [first, second] = [noisy(9, 0.3), noisy(10, 0.3)]
  const earlier = minutesOf(120, () => ({ imbalance: 1 + first(), residual: first(), temperature: 20 + first() }))
  const minutes = minutesOf(120, () => ({ imbalance: 2 + second(), residual: second(), temperature: 25 + second() }))
  const toMs = START_MS + 120 * MINUTE_MS
  const found = analyseShift(
    { fromMs: START_MS, toMs, minutes, baseline: { fromMs: START_MS, toMs, minutes: earlier } },
    OPTIONS,
  )
  const changeOf = (what: string) => found.baseline?.changes.find((change) => change.what === what)

  test('what changed beyond its uncertainty, and what did not', () => {
    expect(changeOf('side_difference')).toMatchObject({ state: 'changed', unit: '%' })
    expect(changeOf('side_difference')?.difference?.value).toBeCloseTo(1, 0)
    expect(changeOf('agreement')?.state).toBe('not-told-apart')
  })
  test('two temperatures are told in °C, what lies between them in K', () => {
    expect(changeOf('temperature')).toMatchObject({ state: 'changed', unit: '°C' })
    expect(changeOf('temperature')?.sentence).toMatch(/^Changed by \+[45]\.\d+ ± 0\.\d+ K\.$/)
  })
  test('what neither stretch tells is unknown, and says so', () => {
    expect(changeOf('zero_drive_side')).toMatchObject({
      state: 'unknown',
      difference: null,
      sentence: 'Unknown: fewer than ten minutes with a slack web in the earlier stretch.',
    })
  })
})

describe('what a zone did, run together', () => {
  test('holes between minutes are missing, not bridged', () => {
    const minutes = [0, 1, 2, 6, 7].map((i) => minuteAt(i, { state: i === 7 ? 'moving' : 'steady' }))
    const found = analyseShift({ fromMs: START_MS, toMs: START_MS + 10 * MINUTE_MS, minutes }, OPTIONS)
    expect(found.periods.map(({ state, minutes: n }) => [state, n])).toEqual([
      ['steady', 3],
      ['missing', 3],
      ['steady', 1],
      ['moving', 1],
      ['missing', 2],
    ])
  })
})
