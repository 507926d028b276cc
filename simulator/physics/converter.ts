/** What a converter makes of a value: clipped to its range, then rounded to whole steps. */
export interface Converted {
  readonly value: number
  /** True when the range, not the signal, decided the value. */
  readonly saturated: boolean
}

/** Converts `value` with a range of [low, high] and steps of `step` (0: no rounding), all in one unit. */
export function convert(value: number, low: number, high: number, step: number): Converted {
  const clipped = Math.min(high, Math.max(low, value))
  return { value: step > 0 ? Math.round(clipped / step) * step : clipped, saturated: clipped !== value }
}
