import { fastSums, type TrigSums, type WeightedSamples } from './uneven-sums.ts'

/** What a least-squares sine at one frequency needs to know of the samples. */
interface SineSums {
  /** Σw, Σw cos, Σw sin */
  readonly w: number
  readonly c: number
  readonly s: number
  /** Σw cos 2φ, Σw sin 2φ */
  readonly c2: number
  readonly s2: number
  /** Σw y, Σw y cos, Σw y sin */
  readonly y: number
  readonly yc: number
  readonly ys: number
}

export interface SineFit {
  /** Square of the amplitude of the best sine. */
  readonly amplitudeSquared: number
  /** How much of Σw(y − ȳ)² that sine takes away; with w = 1 and mean-free values Scargle's power is half of it. */
  readonly reduction: number
}

/**
 * The sine of one frequency that fits weighted samples best, beside a mean that is fitted with it when `floatingMean`
 * (N. R. Lomb 1976; J. D. Scargle, ApJ 263 (1982); with weights and mean M. Zechmeister, M. Kürster, A&A 496 (2009)).
 * Zero where the samples cannot tell a sine (all in one phase).
 */
function fitSine({ w, c, s, c2, s2, y, yc, ys }: SineSums, floatingMean: boolean): SineFit {
  const mean = floatingMean ? 1 / w : 0
  const cc = (w + c2) / 2 - c * c * mean
  const ss = (w - c2) / 2 - s * s * mean
  const cs = s2 / 2 - c * s * mean
  const toCos = yc - y * c * mean
  const toSin = ys - y * s * mean
  const determinant = cc * ss - cs * cs
  if (!(determinant > 1e-12 * w * w)) return { amplitudeSquared: 0, reduction: 0 }
  const a = (toCos * ss - toSin * cs) / determinant
  const b = (toSin * cc - toCos * cs) / determinant
  return { amplitudeSquared: a * a + b * b, reduction: a * toCos + b * toSin }
}

/** Sums for sines at k·binHz, k < count (a power of two), from the sums of the weights up to 2·count and of w·y. */
export function lombScargle(
  samples: WeightedSamples,
  binHz: number,
  count: number,
  options: {
    readonly floatingMean: boolean
    readonly sums: (times: Float64Array, c: Float64Array, binHz: number, count: number) => TrigSums
  } = { floatingMean: true, sums: fastSums },
): SineFit[] {
  const { times, values, weights } = samples
  const ofWeights = options.sums(times, weights, binHz, 2 * count)
  const ofValues = options.sums(
    times,
    values.map((value, j) => value * (weights[j] ?? 0)),
    binHz,
    count,
  )
  const at = (column: Float64Array, k: number): number => column[k] ?? 0
  return Array.from({ length: count }, (_, k) =>
    fitSine(
      {
        w: at(ofWeights.cos, 0),
        c: at(ofWeights.cos, k),
        s: at(ofWeights.sin, k),
        c2: at(ofWeights.cos, 2 * k),
        s2: at(ofWeights.sin, 2 * k),
        y: at(ofValues.cos, 0),
        yc: at(ofValues.cos, k),
        ys: at(ofValues.sin, k),
      },
      options.floatingMean,
    ),
  )
}
