import type { ShiftOptions } from '../../lib/drift/shift-options.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { ar1, normal } from '../statistics/noise-sources.ts'

/** A whole minute since 1970. */
export const START_MS = 1_700_000_040_000
export const MINUTE_MS = 60_000

/** One steady minute of an invented zone: 200 N expected, half on each arrow, and what a test changes of it. */
export function minuteAt(i: number, change: Partial<ZoneMinute> = {}): ZoneMinute {
  return {
    tMs: START_MS + i * MINUTE_MS,
    frames: 6000,
    good: 6000,
    state: 'steady',
    force: { drive_side: 100, operator_side: 100 },
    noise: { drive_side: 0.5, operator_side: 0.5 },
    total: 200,
    imbalance: 0,
    expected: 200,
    residual: 0,
    speed: 5,
    reference: 200,
    temperature: 25,
    neighbour: null,
    revision: 'first',
    ...change,
  }
}

/** What its analysis needs: two sides, a geometry, the default limits. */
export const OPTIONS: ShiftOptions = {
  zone: 'made',
  sides: ['drive_side', 'operator_side'],
  hasGeometry: true,
  slackBelowN: 10,
  rateLimit: { target: 0, half: 0.3, source: 'common practice, no source' },
  sideDifferenceLimit: { target: 0, half: 10, source: 'common practice, no source' },
  largestN: 400,
  spansN: { drive_side: 200, operator_side: 200 },
}

type Source = (seed: number) => () => number

/** φ of a first-order memory of so many minutes. */
const memory = (minutes: number): number => Math.exp(-1 / minutes)

/** A sum of independent first-order noises (memory in minutes, 0 for white; relative size), of unit variance. */
export function mixed(...parts: readonly (readonly [minutes: number, size: number])[]): Source {
  const whole = Math.hypot(...parts.map(([, size]) => size))
  return (seed) => {
    const sources = parts.map(([minutes], i) => {
      const own = seed + 1_000_003 * i
      return minutes === 0 ? normal(own) : ar1(own, memory(minutes))
    })
    return () => parts.reduce((sum, [, size], i) => sum + (size / whole) * (sources[i]?.() ?? 0), 0)
  }
}

/** What minutes of a running web look like: from white to a memory of ten minutes, alone and under white noise. */
export const REALISTIC: readonly (readonly [name: string, source: Source])[] = [
  ['white', mixed([0, 1])],
  ['memory 1.5 min', mixed([1.5, 1])],
  ['memory 5 min', mixed([5, 1])],
  ['memory 10 min', mixed([10, 1])],
  ['memory 10 min under twice as much white', mixed([10, 1], [0, 2])],
]
