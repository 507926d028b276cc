import { performance } from 'node:perf_hooks'
import { analyseShift } from '../../lib/drift/analyse-shift.ts'
import { MINUTE_MS, minuteAt, mixed, OPTIONS, START_MS } from '../drift/made-minutes.ts'
import type { Measured } from './bench.ts'

const ROUNDS = 15

/** The whole analysis of a shift, with everything in it: two sides, geometry, zeros, steps, temperature, a baseline. */
export async function run(): Promise<Measured[]> {
  return [
    bench('a shift of 12 h (720 minutes), analysed', 720, '; target < 100'),
    bench('a week (10 080 minutes), analysed', 10_080, ''),
  ]
}

function bench(name: string, n: number, target: string): Measured {
  const minutes = made(n)
  const toMs = START_MS + n * MINUTE_MS
  const input = { fromMs: START_MS, toMs, minutes, baseline: { fromMs: START_MS, toMs, minutes } }
  const times = Array.from({ length: ROUNDS }, () => {
    const start = performance.now()
    analyseShift(input, OPTIONS)
    return performance.now() - start
  }).sort((a, b) => a - b)
  const median = times[Math.floor(ROUNDS / 2)] ?? Number.NaN
  return {
    name,
    value: median,
    unit: 'ms',
    note: `median of ${ROUNDS}, slowest ${(times.at(-1) ?? 0).toFixed(0)} ms${target}`,
  }
}

function made(n: number) {
  const [residual, imbalance, temperature] = [mixed([5, 1], [0, 1])(1), mixed([10, 1])(2), mixed([60, 1])(3)]
  return Array.from({ length: n }, (_, i) => {
    const isSlack = i % 100 < 8
    return minuteAt(i, {
      residual: 0.3 * residual() + i / 600 + (i > n / 2 ? 3 : 0),
      imbalance: 2 + imbalance(),
      temperature: 25 + 3 * temperature(),
      expected: i % 200 < 100 ? 180 : 240,
      ...(isSlack
        ? { state: 'slack' as const, total: 1, force: { drive_side: 1 + i / 5000, operator_side: 0.5 } }
        : {}),
    })
  })
}
