/**
 * A made shift for testing what the page does with answers: history and analysis drawn from sines and seeded noise.
 * Nothing here is measured or computed by the product.
 */
import type { Envelope, ZoneHistory } from '../../../shared/schemas/history.ts'
import type { Figure } from '../../../shared/schemas/now.ts'
import type { Drift, ShiftAnalysis } from '../../../shared/schemas/shift.ts'
import { noise, seededRandom } from './made-line.ts'

const HOUR_MS = 3_600_000
/** Finer than this the made store hands out samples, this far apart. */
const SAMPLE_MS = 100
const BUCKETS_MS = [1000, 2000, 5000, 10_000, 20_000, 30_000, 60_000, 120_000, 300_000, 600_000, 1_800_000]

export interface MadeShift {
  readonly startMs: number
  readonly endMs: number
}

export const makeShift = (endMs: number, hours = 8): MadeShift => ({ startMs: endMs - hours * HOUR_MS, endMs })

/** What the made line did at a time: starts, runs, two short stops, an outage and a gap of the operator side. */
function madeAt(tMs: number, made: MadeShift): { ds: number; os: number; speed: number; temp: number } | null {
  const h = (tMs - made.startMs) / HOUR_MS
  const share = h / ((made.endMs - made.startMs) / HOUR_MS)
  if (tMs < made.startMs || tMs > made.endMs || (share > 0.62 && share < 0.635)) return null
  const isStopped = (share > 0.3 && share < 0.33) || (share > 0.7 && share < 0.72) || share < 0.02
  const wave = 6 * Math.sin(2 * Math.PI * h * 1.7) + 3 * Math.sin(2 * Math.PI * h * 9)
  const drift = 0.35 * h
  const total = isStopped ? 0 : 820 + wave
  const split = (2.6 + drift) / 200
  return {
    ds: total * (0.5 - split) + (isStopped ? 1 : 0),
    os: total * (0.5 + split) + (isStopped ? 1.4 : 0),
    speed: isStopped ? 0 : 5 + 0.02 * Math.sin(h * 40),
    temp: 22 + 4 * (1 - Math.exp(-h / 2)),
  }
}

export function madeHistory(made: MadeShift, fromMs: number, toMs: number, points: number): ZoneHistory {
  const isFullRate = (toMs - fromMs) / SAMPLE_MS <= points
  const bucketMs = isFullRate ? 0 : (BUCKETS_MS.find((b) => (toMs - fromMs) / b <= points) ?? HOUR_MS)
  const step = isFullRate ? SAMPLE_MS : bucketMs
  const timesMs: number[] = []
  for (let t = Math.ceil(fromMs / step) * step; t < toMs; t += step) timesMs.push(t)
  const random = seededRandom(Math.floor(fromMs / 1000))
  const n = isFullRate ? 1 : Math.round(bucketMs / SAMPLE_MS)
  const series = (
    unit: string,
    spread: number,
    pick: (at: NonNullable<ReturnType<typeof madeAt>>, share: number) => number | null,
  ): Envelope => {
    const made_ = timesMs.map((t) => {
      const at = madeAt(t + step / 2, made)
      const value = at === null ? null : pick(at, (t - made.startMs) / (made.endMs - made.startMs))
      return value === null ? null : value + (isFullRate ? noise(random, spread) : noise(random, spread / Math.sqrt(n)))
    })
    const width = isFullRate ? 0 : spread * 3.2
    return {
      unit,
      mean: made_,
      min: made_.map((v) => (v === null ? null : v - width * (0.9 + 0.2 * random()))),
      max: made_.map((v) => (v === null ? null : v + width * (0.9 + 0.2 * random()))),
      n: made_.map((v) => (v === null ? 0 : n)),
    }
  }
  return {
    zone: 'unwind',
    fromMs,
    toMs,
    bucketMs,
    source: isFullRate ? 'samples' : 'roll-up',
    timesMs,
    series: {
      drive_side: series('N', 4, (at) => at.ds),
      operator_side: series('N', 4.4, (at, share) => (share > 0.45 && share < 0.46 ? null : at.os)),
      residual: series('%', 0.5, (at) => (at.speed === 0 ? null : 0.4 + at.temp / 40 - 0.55)),
      imbalance: series('%', 0.5, (at) => (at.speed === 0 ? -60 : (100 * (at.os - at.ds)) / (at.os + at.ds))),
      speed: series('m/s', 0.005, (at) => at.speed),
      temperature: series('°C', 0.02, (at) => at.temp),
    },
    revisions: [
      { timeMs: made.startMs - HOUR_MS, revision: 'aaaaaaaaaaaa' },
      { timeMs: made.startMs + 0.5 * (made.endMs - made.startMs), revision: 'bbbbbbbbbbbb' },
    ],
    clockSteps: [{ timeMs: made.startMs + 0.55 * (made.endMs - made.startMs), stepMs: -2300 }],
    keptFromMs: made.startMs,
    keptToMs: made.endMs,
  }
}

const MADE = 'made for a test of the page'

function rate(value: number | null, unit: Figure['unit'], U: number, half: number, timeMs: number): Figure {
  const isOutside = value !== null && Math.abs(value) - U > half
  return {
    value,
    unit,
    u: value === null ? null : U / 2,
    uRandom: value === null ? null : U / 2,
    U: value === null ? null : U,
    k: value === null ? null : 2,
    dof: null,
    limit: { target: 0, half, source: MADE },
    verdict:
      value === null
        ? {
            state: 'unknown',
            reason: { kind: 'waiting', for: 'a slack or stopped web' },
            sentence: 'Waits for a slack web.',
          }
        : isOutside
          ? { state: 'outside', reason: { kind: 'outside' }, sentence: 'Outside.' }
          : { state: 'inside', reason: { kind: 'inside' }, sentence: 'Inside.' },
    window: value === null ? null : { seconds: 28_800, samples: 430, effectiveSamples: 96 },
    timeMs: value === null ? null : timeMs,
    waiting: value === null ? 'Waits for a slack or stopped web.' : null,
    why: { formula: 'median of all slopes between two minutes', source: MADE, inputs: [] },
  }
}

export function madeAnalysis(
  made: MadeShift,
  { fromMs, toMs, baseline }: { fromMs: number; toMs: number; baseline: [number, number] | null },
): ShiftAnalysis {
  const length = made.endMs - made.startMs
  const at = (share: number) => made.startMs + share * length
  const end = Math.min(toMs, made.endMs)
  const drift = (part: Partial<Drift> & Pick<Drift, 'quantity' | 'rate'>): Drift => ({
    unit: '%',
    low: null,
    high: null,
    line: null,
    trend: null,
    forecast: null,
    ...part,
  })
  const hours = (end - made.startMs) / HOUR_MS
  return {
    zone: 'unwind',
    fromMs,
    toMs,
    source: 'recorder',
    sourceSentence: 'From the recorded minutes.',
    minutes: { asked: Math.round((toMs - fromMs) / 60_000), kept: 470, judged: 430 },
    steadiness: 'steady',
    periods: [
      { state: 'stopped', fromMs: at(0), toMs: at(0.02), minutes: 9 },
      { state: 'steady', fromMs: at(0.02), toMs: at(0.3), minutes: 134 },
      { state: 'stopped', fromMs: at(0.3), toMs: at(0.33), minutes: 14 },
      { state: 'steady', fromMs: at(0.33), toMs: at(0.62), minutes: 139 },
      { state: 'missing', fromMs: at(0.62), toMs: at(0.635), minutes: 7 },
      { state: 'steady', fromMs: at(0.635), toMs: at(0.7), minutes: 31 },
      { state: 'slack', fromMs: at(0.7), toMs: at(0.72), minutes: 9 },
      { state: 'steady', fromMs: at(0.72), toMs: end, minutes: 134 },
    ],
    drifts: [
      drift({
        quantity: 'agreement',
        rate: rate(0.04, '%/h', 0.05, 0.3, end),
        low: -0.01,
        high: 0.09,
        line: { fromMs: at(0.02), toMs: end, atFrom: 0.4, atTo: 0.5, UFrom: 0.12, UTo: 0.12 },
        trend: { tau: 0.12, p: 0.21, n: 430, effectiveN: 96 },
        forecast: {
          limit: { target: 0, half: 5, source: MADE },
          state: 'never',
          hours: null,
          earliestHours: 50,
          latestHours: null,
          sentence: 'At this rate the limit of 5 % is not reached within a week.',
        },
      }),
      drift({
        quantity: 'side_difference',
        rate: rate(0.35, 'points/h', 0.04, 0.3, end),
        low: 0.31,
        high: 0.39,
        line: { fromMs: at(0.02), toMs: end, atFrom: 2.6, atTo: 2.6 + 0.35 * hours, UFrom: 0.2, UTo: 0.2 },
        trend: { tau: 0.82, p: 0.0001, n: 430, effectiveN: 96 },
        forecast: {
          limit: { target: 0, half: 10, source: MADE },
          state: 'reaches',
          hours: 13.1,
          earliestHours: 11.2,
          latestHours: 15.6,
          sentence: 'At this rate the limit of 10 % is reached in about 13 h (11 to 16 h).',
        },
      }),
      drift({ quantity: 'zero_drive_side', unit: 'N', rate: rate(null, '%/h', 0, 0.2, end) }),
      drift({
        quantity: 'zero_operator_side',
        unit: 'N',
        rate: rate(0.02, '%/h', 0.03, 0.2, end),
        low: -0.01,
        high: 0.05,
      }),
    ],
    steps: [
      {
        quantity: 'side_difference',
        timeMs: at(0.5),
        size: 0.6,
        U: 0.2,
        unit: '%',
        revision: 'bbbbbbbbbbbb',
        sentence: 'The side difference went up by 0.60 ± 0.20 points within a few minutes.',
      },
    ],
    charts: [
      {
        quantity: 'side_difference',
        kind: 'ewma',
        state: 'signal',
        sinceMs: at(0.4),
        direction: 'up',
        designedFalsePerShift: 0.01,
        designedRunLengthMinutes: 48_000,
        normal: { fromMs: at(0.02), toMs: at(0.15), minutes: 62, mean: 2.7, sd: 0.12, lag1: 0.4 },
        track: {
          timesMs: Array.from({ length: 120 }, (_, i) => at(0.15) + i * 120_000),
          value: Array.from({ length: 120 }, (_, i) => 0.02 * i + Math.sin(i)),
          limit: 1.2,
        },
        sentence: 'The level has moved up since the beginning of the shift.',
      },
    ],
    allan: [
      {
        quantity: 'side_difference',
        unit: '%',
        points: [],
        suggestedSeconds: 300,
        sentence: 'Averaging helps up to about 5 min; beyond that drift takes over.',
      },
    ],
    correlations: [
      {
        quantity: 'side_difference',
        with: 'temperature',
        r: 0.93,
        rDetrended: 0.2,
        p: 0.3,
        n: 430,
        effectiveN: 40,
        slope: 0.1,
        sentence: 'The side difference rose with temperature (r = 0.93), which both did over the shift.',
        caveat: 'Two figures that both rise over a shift go together without one causing the other.',
      },
    ],
    zero: {
      sides: [
        { side: 'drive_side', spanN: 700, points: [] },
        {
          side: 'operator_side',
          spanN: 700,
          points: [{ fromMs: at(0.3), toMs: at(0.33), minutes: 14, value: 1.4, U: 0.3 }],
        },
      ],
      waiting: null,
    },
    baseline:
      baseline === null
        ? null
        : {
            fromMs: baseline[0],
            toMs: baseline[1],
            minutes: 120,
            judged: 110,
            changes: [
              {
                what: 'side_difference',
                unit: '%',
                before: { value: 2.7, U: 0.2, minutes: 110 },
                after: { value: 4.1, U: 0.2, minutes: 430 },
                difference: { value: 1.4, U: 0.28 },
                state: 'changed',
                sentence: 'The side difference is 1.40 ± 0.28 points higher than at the baseline.',
              },
              {
                what: 'temperature',
                unit: '°C',
                before: { value: 22, U: 0.1, minutes: 110 },
                after: { value: 25, U: 0.1, minutes: 430 },
                difference: { value: 3, U: 0.14 },
                state: 'changed',
                sentence: 'It is warmer.',
              },
              {
                what: 'total',
                unit: 'N',
                before: { value: 820, U: 4, minutes: 110 },
                after: { value: 821, U: 4, minutes: 430 },
                difference: { value: 1, U: 5.7 },
                state: 'not-told-apart',
                sentence: 'Within its uncertainty.',
              },
              {
                what: 'agreement',
                unit: '%',
                before: null,
                after: null,
                difference: null,
                state: 'unknown',
                sentence: 'The baseline has no geometry.',
              },
            ],
          },
  }
}
