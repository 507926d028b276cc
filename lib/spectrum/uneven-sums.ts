import { FourierPlan } from './fourier.ts'

/** Samples at any times, each with a weight; times in seconds from the beginning of their stretch. */
export interface WeightedSamples {
  readonly times: Float64Array
  readonly values: Float64Array
  readonly weights: Float64Array
}

/** Σ c_j cos(2πf t_j) and Σ c_j sin(2πf t_j) at f = k·binHz, k = 0, 1, 2 … */
export interface TrigSums {
  readonly cos: Float64Array
  readonly sin: Float64Array
}

/** The sums term by term: O(samples × frequencies). What the fast way is held against. */
export function directSums(times: Float64Array, c: Float64Array, binHz: number, count: number): TrigSums {
  const cos = new Float64Array(count)
  const sin = new Float64Array(count)
  for (let k = 0; k < count; k++)
    for (let j = 0; j < times.length; j++) {
      const phase = 2 * Math.PI * k * binHz * (times[j] ?? 0)
      cos[k] = (cos[k] ?? 0) + (c[j] ?? 0) * Math.cos(phase)
      sin[k] = (sin[k] ?? 0) + (c[j] ?? 0) * Math.sin(phase)
    }
  return { cos, sin }
}

/** Half-width of the Gaussian in grid points: an error of about 1e−8 of Σ|c|. */
const SPREAD = 9
const OVERSAMPLING = 2

/**
 * The same sums by a Fourier transform: each sample is spread over a fine even grid by a Gaussian, and what the
 * Gaussian did is divided out (L. Greengard, J.-Y. Lee, "Accelerating the nonuniform fast Fourier transform",
 * SIAM Review 46 (2004)). `count` is a power of two; 0 ≤ time·binHz < 1.
 */
export function fastSums(times: Float64Array, c: Float64Array, binHz: number, count: number): TrigSums {
  const band = 2 * count
  const plan = FourierPlan.of(OVERSAMPLING * band)
  const width = (Math.PI * SPREAD) / (band * band * OVERSAMPLING * (OVERSAMPLING - 0.5))
  spread(plan.input, times, c, binHz, width)
  const out = plan.transform()
  const cos = new Float64Array(count)
  const sin = new Float64Array(count)
  const scale = Math.sqrt(Math.PI / width) / plan.size
  for (let k = 0; k < count; k++) {
    const undo = scale * Math.exp(k * k * width)
    cos[k] = undo * (out[2 * k] ?? 0)
    sin[k] = -undo * (out[2 * k + 1] ?? 0)
  }
  return { cos, sin }
}

/** Spreads each sample over the grid points around it: exp(−d²/4τ), by one exponential a sample and a table. */
function spread(grid: Float64Array, times: Float64Array, c: Float64Array, binHz: number, width: number): void {
  grid.fill(0)
  const size = grid.length
  const spacing = (2 * Math.PI) / size
  const table = Float64Array.from({ length: SPREAD + 1 }, (_, l) => Math.exp(-((l * spacing) ** 2) / (4 * width)))
  for (let j = 0; j < times.length; j++) {
    const place = (times[j] ?? 0) * binHz * size
    const nearest = Math.floor(place)
    const off = (place - nearest) * spacing
    const height = (c[j] ?? 0) * Math.exp((-off * off) / (4 * width))
    const tilt = Math.exp((off * spacing) / (2 * width))
    addAround(grid, nearest, height, tilt, table)
  }
}

function addAround(grid: Float64Array, nearest: number, height: number, tilt: number, table: Float64Array): void {
  const mask = grid.length - 1
  let up = height
  for (let l = 0; l <= SPREAD; l++, up *= tilt) {
    const at = (nearest + l) & mask
    grid[at] = (grid[at] ?? 0) + up * (table[l] ?? 0)
  }
  let down = height / tilt
  for (let l = 1; l < SPREAD; l++, down /= tilt) {
    const at = (nearest - l) & mask
    grid[at] = (grid[at] ?? 0) + down * (table[l] ?? 0)
  }
}
