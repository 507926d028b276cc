import type { ComparedReading, ToldTest } from '../../../shared/schemas/training.ts'

/** How plainly a reading tells: its difference in standard uncertainties; what is seen and differs is as plain as can be. */
export function plainness({ found, sound, u, differs }: ComparedReading): number {
  if (!differs) return 0
  if (typeof found !== 'number' || typeof sound !== 'number' || u === null || u === 0) return Number.POSITIVE_INFINITY
  return Math.abs(found - sound) / u
}

/** Readings of a test, plainest first; what does not differ comes last, in its own order. */
export function plainestFirst(readings: readonly ComparedReading[]): ComparedReading[] {
  return readings.toSorted((a, b) => order(plainness(b), plainness(a)))
}

const order = (a: number, b: number): number => (a === b ? 0 : a < b ? -1 : 1)

/** Those that were done first, then the cheapest; of unknown cost last. */
export function doneThenCheapest(tests: readonly ToldTest[]): ToldTest[] {
  const rank = ({ deeds }: ToldTest) => (deeds.length > 0 ? 0 : 1)
  const cost = ({ seconds }: ToldTest) => seconds ?? Number.POSITIVE_INFINITY
  return tests.toSorted((a, b) => order(rank(a), rank(b)) || order(cost(a), cost(b)))
}
