import type { Figure, ZoneNow } from '../../../shared/schemas/now.ts'

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
export function picture(timeMs: number, expected: number | null | undefined): ZoneNow {
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
