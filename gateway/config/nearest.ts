/**
 * The candidate a person most likely meant by `word`; null when none is near, or two are equally so.
 *
 * Near means: the same but for case and `-`/`_`; the beginning of one another (`rate` and
 * `rate_hz`); one whole part of a longer name (`distance` and `cell_distance_m`); or at most one
 * slip in three letters (none in under four), a slip being one letter more, less, other, or two neighbours swapped
 * (optimal string alignment: Damerau, CACM 7 (1964) 171; Levenshtein, Sov. Phys. Dokl. 10 (1966) 707).
 */
export function nearest(word: string, candidates: readonly string[]): string | null {
  if (word.length > 80) return null
  let best: string | null = null
  let bestScore = Number.POSITIVE_INFINITY
  for (const candidate of candidates) {
    const score = farness(fold(word), fold(candidate))
    if (score === bestScore && candidate !== best) best = null
    if (score < bestScore) {
      best = candidate
      bestScore = score
    }
  }
  return best
}

/** `; did you mean x?`, or nothing. */
export function didYouMean(word: string, candidates: readonly string[]): string {
  const candidate = nearest(word, candidates)
  return candidate === null || candidate === word ? '' : `; did you mean ${candidate}?`
}

const fold = (text: string) => text.toLowerCase().replaceAll(/[-\s]/g, '_')

/** 0 is the same; infinite is too far to suggest. */
function farness(word: string, candidate: string): number {
  if (word === candidate) return 0
  const distance = editDistance(word, candidate)
  const shorter = Math.min(word.length, candidate.length)
  if (shorter > 3 && distance <= Math.floor(shorter / 3)) return distance
  const [short, long] = word.length < candidate.length ? [word, candidate] : [candidate, word]
  if (short.length >= 2 && long.startsWith(short)) return 3
  if (short.length >= 2 && long.split('_').includes(short)) return 4
  if (short.length >= 4 && long.includes(short)) return 5
  return Number.POSITIVE_INFINITY
}

/** Fewest slips (insert, delete, replace, swap of neighbours) that turn `a` into `b`. */
export function editDistance(a: string, b: string): number {
  let beforeLast: number[] = []
  let last = Array.from({ length: b.length + 1 }, (_, j) => j)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    for (let j = 1; j <= b.length; j++) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1
      let slips = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + cost)
      if (a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) slips = Math.min(slips, (beforeLast[j - 2] ?? 0) + 1)
      row.push(slips)
    }
    beforeLast = last
    last = row
  }
  return last[b.length] ?? 0
}
