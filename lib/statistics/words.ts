/** Three significant digits without an exponent, for sentences: 12.3, 0.0456, 1230. */
export function shortNumber(x: number): string {
  if (!Number.isFinite(x)) return String(x)
  const rounded = Number(x.toPrecision(3))
  const size = Math.abs(rounded)
  if (size !== 0 && (size < 1e-4 || size >= 1e7)) return rounded.toExponential()
  return String(rounded)
}

/** A length of time in whole seconds, minutes or hours, rounded up: it is for someone who waits. */
export function shortDuration(seconds: number): string {
  if (seconds < 90) return `${Math.max(1, Math.ceil(seconds))} s`
  if (seconds < 5400) return `${Math.ceil(seconds / 60)} min`
  return `${Math.ceil(seconds / 3600)} h`
}
