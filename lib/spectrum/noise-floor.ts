import { boundedQuantileLine, type Line } from './quantile-line.ts'

/** Height of the noise under the lines, and how well it is known. */
export interface NoiseFloor {
  /** Unit² per Hz at each bin. */
  readonly density: Float64Array
  /** Degrees of freedom of the floor at each bin. */
  readonly dof: Float64Array
}

/** A share under the median: neighbouring lines then lift it less. Its normal quantile. */
const SHARE = 0.35
const NORMAL_AT_SHARE = -0.385_32
/** Variance of that quantile over a mean's: p(1 − p)/φ(z)². */
const QUANTILE_VARIANCE = 1.66
/** The window makes neighbouring bins alike: so many count as one. */
const ALIKE_BINS = 1.5
const LEAST_HALF_WIDTH = 10
const MOST_HALF_WIDTH = 100
/** Half-width as a share of the frequency: about half an octave. */
const RELATIVE_HALF_WIDTH = 0.3
/** Noise falls no faster than the fourth power of the frequency, and rises no faster than the first; the foot of a line does. */
const SLOPES = [-4, 1] as const
/** The first bins hold what is left of the level. */
const FIRST_BIN = 2

/**
 * The noise floor of a power density: around each bin a straight line through a low quantile of log density over log
 * frequency, because the noise of a web falls with a power of the frequency; brought to the mean by what a χ² of `dof`
 * degrees has at that quantile (E. B. Wilson, M. M. Hilferty, PNAS 17 (1931)). Bins that `isLine` names are left out.
 */
export function noiseFloor(density: Float64Array, dof: number, isLine: (bin: number) => boolean): NoiseFloor {
  const bins = density.length
  const toMean = (1 - 2 / (9 * dof) + NORMAL_AT_SHARE * Math.sqrt(2 / (9 * dof))) ** -3
  const floor = new Float64Array(bins)
  const known = new Float64Array(bins)
  let at = 0
  while (at < bins) {
    const half = Math.min(MOST_HALF_WIDTH, Math.max(LEAST_HALF_WIDTH, Math.round(at * RELATIVE_HALF_WIDTH)))
    const line = lineAround(density, at, half, isLine)
    // The line hardly changes within a third of its half-width: it is found once for all of them.
    const next = Math.min(bins, at + Math.max(1, Math.floor(half / 3)))
    for (let k = at; k < next; k++) {
      const x = Math.log(Math.max(k, FIRST_BIN))
      floor[k] = Math.exp(line.at(x)) * toMean
      known[k] = Math.max(1, dof / (QUANTILE_VARIANCE * ALIKE_BINS * line.spread(x)))
    }
    at = next
  }
  return { density: floor, dof: known }
}

/** Through the bins within `half`; at an edge the stretch keeps its width. */
function lineAround(density: Float64Array, at: number, half: number, isLine: (bin: number) => boolean): Line {
  const last = density.length - 1
  const from = Math.max(FIRST_BIN, Math.min(at - half, last - 2 * half))
  const to = Math.min(last, Math.max(at + half, FIRST_BIN + 2 * half))
  const x: number[] = []
  const y: number[] = []
  for (let k = from; k <= to; k++) {
    const power = density[k] ?? 0
    if (isLine(k) || !(power > 0)) continue
    x.push(Math.log(k))
    y.push(Math.log(power))
  }
  return boundedQuantileLine(x, y, SHARE, SLOPES)
}
