export type Detrend = 'none' | 'constant' | 'linear'

/** Takes the mean or the straight line (least squares over the index) out of `values`, in place. */
export function detrend(values: Float64Array, kind: Detrend): void {
  if (kind === 'none') return
  const n = values.length
  let mean = 0
  for (const value of values) mean += value / n
  const middle = (n - 1) / 2
  const slope = kind === 'linear' ? slopeOf(values, middle) : 0
  for (let i = 0; i < n; i++) values[i] = (values[i] ?? 0) - mean - slope * (i - middle)
}

function slopeOf(values: Float64Array, middle: number): number {
  let product = 0
  let square = 0
  for (let i = 0; i < values.length; i++) {
    product += (i - middle) * (values[i] ?? 0)
    square += (i - middle) ** 2
  }
  return square === 0 ? 0 : product / square
}
