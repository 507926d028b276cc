/** A frequency with three significant digits: `10.6 Hz`. */
export function hertz(value: number, unit = ' Hz'): string {
  const size = Math.abs(value)
  const decimals = size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3
  return `${value.toFixed(decimals)}${unit}`
}

/** Seconds, whole from ten on. */
export const secondsWords = (seconds: number): string => `${seconds < 10 ? seconds.toFixed(1) : Math.round(seconds)} s`
