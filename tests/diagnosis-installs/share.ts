import { regularisedBeta } from '../../lib/statistics/student-t.ts'

/**
 * Exact 95 % interval of a share of which `count` of `of` were counted (Clopper & Pearson, Biometrika 26 (1934); ends by
 * halving the incomplete beta function, NIST/SEMATECH e-Handbook 7.2.4.1).
 */
export function exactInterval(count: number, of: number): readonly [number, number] {
  const tail = 0.025
  const low = count === 0 ? 0 : halved((p) => regularisedBeta(p, 1 - p, count, of - count + 1) - tail)
  const high = count === of ? 1 : halved((p) => regularisedBeta(p, 1 - p, count + 1, of - count) - (1 - tail))
  return [low, high]
}

/** Where a rising function passes 0 between 0 and 1. */
function halved(rises: (p: number) => number): number {
  let [low, high] = [1e-12, 1 - 1e-12]
  for (let i = 0; i < 60; i += 1) {
    const middle = (low + high) / 2
    if (rises(middle) < 0) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** "92.2 % [87–96]"; a dash where there is nothing to count. */
export function inWords(count: number, of: number): string {
  if (of === 0) return '—'
  const [low, high] = exactInterval(count, of)
  return `${((100 * count) / of).toFixed(1)} % [${(100 * low).toFixed(0)}–${(100 * high).toFixed(0)}]`
}
