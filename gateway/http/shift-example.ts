import type { ShiftAnalysis } from '../../shared/schemas/shift.ts'

/** Example for the OpenAPI document: two hours of the invented zone, without geometry and with one cell. */
const FROM_MS = 1_760_000_040_000
const TO_MS = FROM_MS + 7_200_000

export const exampleShift: ShiftAnalysis = {
  zone: 'unwind',
  fromMs: FROM_MS,
  toMs: TO_MS,
  source: 'recorder',
  sourceSentence: 'From the recorder.',
  minutes: { asked: 120, kept: 120, judged: 118 },
  steadiness: 'steady',
  periods: [
    { state: 'slack', fromMs: FROM_MS, toMs: FROM_MS + 120_000, minutes: 2 },
    { state: 'steady', fromMs: FROM_MS + 120_000, toMs: TO_MS, minutes: 118 },
  ],
  drifts: [
    {
      quantity: 'zero_single',
      unit: 'N',
      rate: {
        value: null,
        unit: 'N/h',
        u: null,
        uRandom: null,
        U: null,
        k: null,
        dof: null,
        limit: null,
        verdict: {
          state: 'unknown',
          reason: {
            kind: 'waiting',
            for: "a zero's drift is told from 10 minutes with the web slack or off, in 4 stretches: 2 so far",
          },
          sentence:
            "Unknown: a zero's drift is told from 10 minutes with the web slack or off, in 4 stretches: 2 so far.",
        },
        window: null,
        timeMs: null,
        waiting: "A zero's drift is told from 10 minutes with the web slack or off, in 4 stretches: 2 so far.",
        why: { formula: 'Theil–Sen slope against time', source: 'Sen 1968', inputs: [] },
      },
      low: null,
      high: null,
      line: null,
      trend: null,
      forecast: null,
    },
  ],
  steps: [],
  charts: [],
  allan: [],
  correlations: [],
  zero: {
    sides: [
      {
        side: 'single',
        spanN: null,
        points: [{ fromMs: FROM_MS, toMs: FROM_MS + 120_000, minutes: 2, value: 0.4, U: 1.9 }],
      },
    ],
    waiting: null,
  },
  baseline: null,
}
