/** What a converter makes of a value: rounded to whole steps within its range. */
export interface Converted {
  readonly value: number
  /** True when the range, not the signal, decided the value. */
  readonly saturated: boolean
}

/** Converts `value` with a range of [low, high] and steps of `step` (0: no rounding), all in one unit. */
export function convert(value: number, low: number, high: number, step: number): Converted {
  const rounded = step > 0 ? Math.round(value / step) * step : value
  return { value: Math.min(high, Math.max(low, rounded)), saturated: value < low || value > high }
}
