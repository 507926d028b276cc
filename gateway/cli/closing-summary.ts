import type { Figure, ZoneNow } from '../../shared/schemas/now.ts'
import { SIDES, valueWords, verdictWords, windowWords } from './figure-words.ts'
import { columns } from './table.ts'

/** What a zone read at the end of a recording: each figure with ± U, its window and its verdict. */
export function closingSummary(now: ZoneNow): string[] {
  const sides = Object.entries(now.sides).flatMap(([side, { force, noise }]) => {
    const name = SIDES[side as keyof typeof SIDES]
    return [
      [`force, ${name}`, force],
      [`noise, ${name}`, noise],
    ] as const
  })
  const rows: readonly (readonly [string, Figure | undefined])[] = [
    ...sides,
    [now.totalMeans === 'tension' ? 'web tension, total' : 'force, total', now.total],
    ['side difference', now.imbalance],
    ['drift of the side difference', now.driftOfSideDifference],
    ['rate of the total', now.rateOfTotal],
  ]
  return columns(
    rows.flatMap(([name, figure]) =>
      figure === undefined ? [] : [[`  ${name}`, valueWords(figure), windowWords(figure), verdictWords(figure)]],
    ),
  )
}
