import { analyseShift } from '../../lib/drift/analyse-shift.ts'
import { MINUTE_MS, minuteAt, mixed, OPTIONS, REALISTIC, START_MS } from '../drift/made-minutes.ts'

export interface HealthyShifts {
  readonly shifts: number
  /** In how many a drift was called outside its limit, and a step told, though nothing moved. */
  readonly outside: number
  readonly steps: number
}

const MINUTES = 480
/** Of a mean over a minute, N and points: a web that is quiet but never still (common practice). */
const RESIDUAL_N = 0.5
const DIFFERENCE_POINTS = 0.4

/** Shifts of 8 h in which nothing drifts, under noises from white to a memory of ten minutes. */
export function healthyShifts(shifts: number): HealthyShifts {
  let [outside, steps] = [0, 0]
  for (let n = 0; n < shifts; n += 1) {
    const [, source] = REALISTIC[n % REALISTIC.length] ?? REALISTIC[0] ?? ['', mixed([0, 1])]
    const [residual, difference, temperature] = [source(3 * n + 1), source(3 * n + 2), mixed([60, 1])(3 * n + 3)]
    const minutes = Array.from({ length: MINUTES }, (_, i) =>
      minuteAt(i, {
        residual: RESIDUAL_N * residual(),
        imbalance: 1 + DIFFERENCE_POINTS * difference(),
        temperature: 24 + 2 * temperature(),
      }),
    )
    const toMs = START_MS + MINUTES * MINUTE_MS
    const shift = analyseShift({ fromMs: START_MS, toMs, minutes }, OPTIONS)
    if (shift.drifts.some(({ rate }) => rate.verdict?.state === 'outside')) outside += 1
    if (shift.steps.length > 0) steps += 1
  }
  return { shifts, outside, steps }
}
