/**
 * By how much the values of one lot lie over those of another: the median of all differences, with an interval of 95 %
 * or more that assumes no distribution, only looks that do not remember one another (Hodges & Lehmann, Ann. Math. Stat.
 * 34 (1963) 598; the interval is the set of shifts that the test of Mann & Whitney, ibid. 18 (1947) 50, does not reject).
 * Undefined where the lots are too small for any interval of 95 %.
 */
export function locationShift(
  before: readonly number[],
  after: readonly number[],
): { readonly shift: number; readonly low: number; readonly high: number } | undefined {
  const passed = largestRejected(before.length, after.length)
  if (passed === undefined) return undefined
  const differences = after.flatMap((y) => before.map((x) => y - x)).sort((a, b) => a - b)
  const at = (i: number) => differences[i] ?? Number.NaN
  const n = differences.length
  return { shift: (at((n - 1) >> 1) + at(n >> 1)) / 2, low: at(passed + 1), high: at(n - 2 - passed) }
}

/** Largest U that a two-sided test at 5 % rejects; undefined where it rejects none. */
export function largestRejected(m: number, n: number): number | undefined {
  const counts = uCounts(m, n)
  const all = counts.reduce((sum, count) => sum + count, 0)
  let tail = 0
  let u = -1
  while (u + 1 < counts.length && (tail + (counts[u + 1] ?? 0)) / all <= 0.025) {
    u += 1
    tail += counts[u] ?? 0
  }
  return u < 0 ? undefined : u
}

/** In how many orders of m and n values U is 0, 1, … m·n: the recursion of Mann & Whitney. */
function uCounts(m: number, n: number): number[] {
  // The coefficients of the Gaussian binomial: a factor (1 − q^(n+i)) / (1 − q^i) for each i up to m.
  const counts = [1, ...new Array<number>(m * n).fill(0)]
  for (let i = 1; i <= m; i++) {
    for (let u = m * n; u >= n + i; u--) counts[u] = (counts[u] ?? 0) - (counts[u - n - i] ?? 0)
    for (let u = i; u <= m * n; u++) counts[u] = (counts[u] ?? 0) + (counts[u - i] ?? 0)
  }
  return counts
}
