type Pair = readonly [number, number]

/** The straight line through two points: `counts[i]` reads `reads[i]`. `counts` must differ (the schema sees to it). */
export function twoPoint(counts: Pair, reads: Pair, raw: number): number {
  return reads[0] + ((raw - counts[0]) * (reads[1] - reads[0])) / (counts[1] - counts[0])
}
