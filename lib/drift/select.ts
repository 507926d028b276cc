/**
 * The k-th smallest of values[0 … n − 1], k from 0; reorders them. Expected O(n): C. A. R. Hoare, "Algorithm 65: find",
 * Commun. ACM 4 (1961) 321–322, with the middle of three as pivot. NaN when k is not among them. Values must not be NaN.
 */
export function selectKth(values: Float64Array, n: number, k: number): number {
  if (!(k >= 0 && k < n)) return Number.NaN
  let low = 0
  let high = n - 1
  while (low < high) {
    const pivot = middleOf(at(values, low), at(values, (low + high) >>> 1), at(values, high))
    let i = low
    let j = high
    while (i <= j) {
      while (at(values, i) < pivot) i += 1
      while (at(values, j) > pivot) j -= 1
      if (i > j) break
      const swap = at(values, i)
      values[i] = at(values, j)
      values[j] = swap
      i += 1
      j -= 1
    }
    if (k <= j) high = j
    else if (k >= i) low = i
    else break
  }
  return at(values, k)
}

/** The median of values[0 … n − 1], the mean of the middle two for an even n; reorders them. NaN for n = 0. */
export function medianOf(values: Float64Array, n: number = values.length): number {
  if (n === 0) return Number.NaN
  const upper = selectKth(values, n, n >>> 1)
  if (n % 2 === 1) return upper
  // What lies before the upper middle is no larger: the lower middle is its maximum.
  let lower = Number.NEGATIVE_INFINITY
  for (let i = 0; i < n >>> 1; i += 1) lower = Math.max(lower, at(values, i))
  return (lower + upper) / 2
}

const at = (values: Float64Array, i: number): number => values[i] as number

const middleOf = (a: number, b: number, c: number): number => Math.max(Math.min(a, b), Math.min(Math.max(a, b), c))
