import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import { decimalsFor, formatNumber, formatTrimmed, NBSP } from '../../_ui/format.ts'
import { ofSide } from '../../_ui/sides.ts'

/** ", drive side, 120 m/min": after the title of a figure. */
export function whereOf({ side, point }: Pick<RecordFigure, 'side' | 'point'>): string {
  return ofSide(side) + (point === null || point === '' ? '' : `, ${point}`)
}

/** "0.97 ± 0.05 mm", rounded to its uncertainty. */
export function shownNumber(value: number, U: number | null, unit: string): string {
  const withUnit = (text: string) => (unit === '' ? text : `${text}${NBSP}${unit}`)
  if (U === null || U === 0) return withUnit(formatTrimmed(value))
  const decimals = decimalsFor(U)
  return withUnit(`${formatNumber(value, decimals)}${NBSP}±${NBSP}${formatNumber(U, decimals)}`)
}
