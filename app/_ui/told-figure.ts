import type { Figure } from '../../shared/schemas/now.ts'
import { NBSP } from './format.ts'
import type { Units } from './units.tsx'

export interface ToldFigure {
  /** Number alone, for large type. */
  readonly value: string
  readonly unit: string
  /** What it is worth, in words that stand apart from the number: `± 1.4 N`, or that this is not known. */
  readonly worth: string
}

/** A figure in its parts; null where it has no value. Without an uncertainty it has the digits of a rough value. */
export function toldFigure(figure: Pick<Figure, 'value' | 'U' | 'unit'>, units: Units): ToldFigure | null {
  if (figure.value === null) return null
  if (figure.U === null) {
    const { value, unit } = units.rough(figure.value, figure.unit)
    return { value, unit, worth: 'uncertainty unknown' }
  }
  const { value, U, unit, unitOfU } = units.figure(figure.value, figure.U, figure.unit)
  return { value, unit, worth: `±${NBSP}${U}${NBSP}${unitOfU}` }
}
