import type { GoodSamples } from './rows.ts'

export interface Movement {
  /** After less before, with its standard uncertainty. */
  readonly by: { readonly value: number; readonly u: number }
  /** When half of the change was there, seconds from the begin of the capture: sides that begin late are told on one clock. */
  readonly atS: number
  /** From a tenth to nine tenths of it, s; null where it was not seen, or was faster than the smoothing lets tell. */
  readonly riseS: number | null
}

/** The beginning, taken for what was before: share of the samples, and at most so long, ms. */
const BEFORE_SHARE = 0.2
const BEFORE_MS = 2000
/** Smoothed over this long, so that one sample is no movement, ms. */
const SMOOTH_MS = 150
/** What counts as the height of the change: everything beyond this share of its peak. */
const HEIGHT_SHARE = 0.8
/** A change of fewer uncertainties is none. */
const CLEAR = 5
const FEWEST = 20

/** 10 to 90 % of the ramp that a jump becomes when it is smoothed, ms. */
const SMOOTH_RISE_MS = 0.8 * SMOOTH_MS

/**
 * The one change in a stretch that begins at rest: a push that is held and let go, or a step that stays. Null where
 * nothing moved clearly: the change is held against the scatter of the smoothed beginning, and no less than what one
 * step of the reading hides (rectangular, JCGM 100, 4.3.7), so that a flicker by one count is no movement.
 * Its size is the median of what lies beyond HEIGHT_SHARE of its peak, so that the way up does not pull it down. The
 * smoothing is taken out of the rise time as a second stage in a row is, by squares.
 * @param fromMs begin of the capture, epoch ms
 * @param stepN smallest step of the signal, N; 0 where nothing tells it
 */
export function movementOf({ tMs, values }: GoodSamples, fromMs: number, stepN: number): Movement | null {
  if (values.length < FEWEST) return null
  const start = tMs[0] ?? 0
  const smooth = smoothed(tMs, values)
  const until = start + Math.min(BEFORE_MS, BEFORE_SHARE * ((tMs.at(-1) ?? start) - start))
  const before = smooth.filter((_, i) => (tMs[i] ?? 0) <= until)
  if (before.length < 5) return null
  const base = before.reduce((sum, value) => sum + value, 0) / before.length
  const scatter = Math.sqrt(before.reduce((sum, value) => sum + (value - base) ** 2, 0) / (before.length - 1))
  const off = smooth.map((value) => value - base)
  const peak = off.reduce((most, value) => (Math.abs(value) > Math.abs(most) ? value : most), 0)
  const height = off.filter((value) => value / peak >= HEIGHT_SHARE)
  if (peak === 0 || height.length === 0) return null
  const by = median(height)
  // Smoothed values remember one another: the scatter of the beginning stands for each end of the change as it is.
  const u = Math.max(scatter, stepN / Math.sqrt(12)) * Math.SQRT2
  if (Math.abs(by) < CLEAR * u) return null
  const crossing = (share: number) => {
    const at = off.findIndex((value) => value / by >= share)
    return at < 0 ? null : interpolated(tMs, off, at, share * by)
  }
  const half = crossing(0.5)
  if (half === null) return null
  const [ten, ninety] = [crossing(0.1), crossing(0.9)]
  return {
    by: { value: by, u },
    atS: (half - fromMs) / 1000,
    riseS: ten === null || ninety === null ? null : riseOf(ninety - ten),
  }
}

/** A rise that is seen this many times as long as the smoothing alone makes one is the signal's own. */
const RESOLVED = 1.25

const riseOf = (seenMs: number): number | null =>
  seenMs < RESOLVED * SMOOTH_RISE_MS ? null : Math.sqrt(seenMs ** 2 - SMOOTH_RISE_MS ** 2) / 1000

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b)
  const middle = sorted.length / 2
  const upper = sorted[Math.floor(middle)] ?? Number.NaN
  return Number.isInteger(middle) ? ((sorted[middle - 1] ?? upper) + upper) / 2 : upper
}

/** Running mean, centred, over SMOOTH_MS. */
function smoothed(tMs: readonly number[], values: readonly number[]): number[] {
  const out: number[] = []
  let from = 0
  let to = 0
  let sum = 0
  for (const t of tMs) {
    for (; to < values.length && (tMs[to] ?? 0) <= t + SMOOTH_MS / 2; to += 1) sum += values[to] ?? 0
    for (; (tMs[from] ?? 0) < t - SMOOTH_MS / 2; from += 1) sum -= values[from] ?? 0
    out.push(sum / Math.max(1, to - from))
  }
  return out
}

/** When the series passed `level`, between the sample before `at` and `at`. */
function interpolated(tMs: readonly number[], off: readonly number[], at: number, level: number): number {
  const t1 = tMs[at] ?? 0
  if (at === 0) return t1
  const [t0, y0, y1] = [tMs[at - 1] ?? t1, off[at - 1] ?? 0, off[at] ?? 0]
  return y1 === y0 ? t1 : t0 + ((level - y0) / (y1 - y0)) * (t1 - t0)
}
