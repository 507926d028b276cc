import type { MinuteSeries } from './minute-series.ts'
import { robustSd } from './robust.ts'
import { medianOf } from './select.ts'

/** Points on each side of a step. */
const STEP_SIDE = 8
/** Those points may cover this many times their width: a longer hole hides whether it was a step or a drift. */
const MOST_STRETCH = 2
/**
 * A step stands out of all differences of neighbouring medians by this many of their robust standard deviations: chosen
 * so that a shift of 8 h without a step shows one in at most 1 of 50 (the tests print it).
 */
const STANDS_OUT = 4.5
/** Fewest points from which what is usual can be told. */
const LEAST_POINTS = 6 * STEP_SIDE

export interface StepFound {
  /** Index of the first point after it. */
  readonly index: number
  readonly size: number
  /** Expanded uncertainty: twice the robust standard deviation of such differences where nothing happened. */
  readonly U: number
}

/**
 * Where a level changed within a few minutes. The median of the eight points after each minute less that of the eight
 * before it, less the median of all such differences, which is what a drift makes of them; a step is the largest such difference near it that stands out of
 * them all. How far they scatter where nothing happens is taken from the series itself, so that its autocorrelation
 * counts. A drift, however fast, changes all differences alike and none stands out. Compare F. Gustafsson, "Adaptive
 * Filtering and Change Detection" (2000), ch. 2: two windows. None in fewer than 48 points.
 */
export function findSteps(series: MinuteSeries): StepFound[] {
  const n = series.y.length
  if (n < LEAST_POINTS) return []
  const differences = differencesOf(series)
  const told = differences.filter(Number.isFinite)
  if (told.length < LEAST_POINTS / 2) return []
  const usual = robustSd(told)
  const least = STANDS_OUT * usual
  const found: StepFound[] = []
  for (let i = 0; i < n; i += 1) {
    const size = differences[i] as number
    if (!(Math.abs(size) > least) || !isPeak(differences, i)) continue
    found.push({ index: i, size, U: 2 * usual })
  }
  return found
}

/** The largest of its window; the first among equals. */
function isPeak(differences: readonly number[], i: number): boolean {
  const size = Math.abs(differences[i] as number)
  for (let j = Math.max(0, i - STEP_SIDE); j <= Math.min(differences.length - 1, i + STEP_SIDE); j += 1) {
    const other = Math.abs(differences[j] as number)
    if (other > size || (other === size && j < i)) return false
  }
  return true
}

/** Less what the usual rate makes between the windows. NaN where the windows do not fit or hold a hole. */
function differencesOf(series: MinuteSeries): number[] {
  const { tMs, y, widthMs } = series
  const raw = y.map((_, i) => {
    const [from, to] = [i - STEP_SIDE, i + STEP_SIDE]
    if (from < 0 || to > y.length) return Number.NaN
    const ran = (tMs[to - 1] as number) - (tMs[from] as number)
    if (ran > MOST_STRETCH * 2 * STEP_SIDE * widthMs) return Number.NaN
    return side(y, i, to) - side(y, from, i)
  })
  const usual = medianOf(Float64Array.from(raw.filter(Number.isFinite)))
  return raw.map((difference) => difference - usual)
}

const side = (values: readonly number[], from: number, to: number): number =>
  medianOf(Float64Array.from(values.slice(from, to)))

/** Which stretch between steps each point belongs to. */
export function segmentsOf(series: MinuteSeries, steps: readonly StepFound[]): number[] {
  return series.y.map((_, i) => steps.filter(({ index }) => index <= i).length)
}
