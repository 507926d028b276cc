/** Samples of a speed (m/s) or of a turn rate (1/s) over the spectrum's stretch; NaN where none was good. */
export interface SpeedSamples {
  /** s */
  readonly times: Float64Array
  readonly values: Float64Array
}

/** What the web did while the spectrum's samples came. */
export type RunningSpeed =
  | { readonly state: 'unknown' }
  | { readonly state: 'stopped' }
  | {
      readonly state: 'running'
      readonly mean: number
      /** Largest less smallest one-second mean, as a share of the mean. */
      readonly change: number
    }

/** Less of the stretch with a good speed than this, and it is unknown. */
const LEAST_KNOWN = 0.8
/** Slower than this, m/s or 1/s, is standing: no roller makes a line worth the name. */
const STANDING = 0.005

export function runningSpeed({ times, values }: SpeedSamples): RunningSpeed {
  const good = values.reduce((count, value) => count + (Number.isNaN(value) ? 0 : 1), 0)
  if (good === 0 || good < LEAST_KNOWN * values.length) return { state: 'unknown' }
  const means = secondMeans(times, values)
  const mean = means.reduce((sum, value) => sum + value / means.length, 0)
  if (means.every((value) => Math.abs(value) < STANDING)) return { state: 'stopped' }
  const change = Math.max(...means) - Math.min(...means)
  return { state: 'running', mean, change: change / Math.abs(mean) }
}

/** Means over whole seconds, so that the noise of a speed signal does not count as a change. */
function secondMeans(times: Float64Array, values: Float64Array): number[] {
  const sums = new Map<number, { sum: number; n: number }>()
  for (let i = 0; i < values.length; i++) {
    const value = values[i] ?? Number.NaN
    if (Number.isNaN(value)) continue
    const second = Math.floor(times[i] ?? 0)
    const own = sums.get(second) ?? { sum: 0, n: 0 }
    sums.set(second, { sum: own.sum + value, n: own.n + 1 })
  }
  return [...sums.values()].map(({ sum, n }) => sum / n)
}
