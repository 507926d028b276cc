import type { Figure, ZoneNow } from '../../shared/schemas/now.ts'
import { columns } from './table.ts'

const SIDES = { drive_side: 'drive side', operator_side: 'operator side', single: 'cell' } as const

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

function valueWords({ value, U, unit, waiting, verdict }: Figure): string {
  if (value === null) return `unknown: ${waiting ?? verdict.sentence}`
  return U === null ? `${rounded(value, Math.abs(value))} ${unit}` : `${rounded(value, U)} ± ${rounded(U, U)} ${unit}`
}

function windowWords({ window }: Figure): string {
  return window === null ? '' : `over ${rounded(window.seconds, window.seconds)} s, ${window.samples} samples`
}

function verdictWords({ value, limit, verdict }: Figure): string {
  if (limit === null) return value === null ? '' : 'for information'
  return `${verdict.state}, limit ${limit.target === 0 ? '' : `${limit.target} `}±${limit.half}`
}

/** As many decimals as show two digits of `scale`, at most six. */
function rounded(value: number, scale: number): string {
  const decimals = scale > 0 ? Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(scale)))) : 2
  return value.toFixed(decimals)
}
