import type { Figure } from '../../shared/schemas/now.ts'
import type { FormattedFigure } from './format.ts'
import type { Units } from './units.tsx'

/** A share under this, its uncertainty included, is told as under it: its digits tell nobody anything. */
const LEAST_PERCENT = 0.01

/** A judged figure as it is shown, null without a value. A tiny share that cannot be negative is `under 0.01 %`. */
export function judgedFigure(figure: Figure, units: Units, isOneSided: boolean): FormattedFigure | null {
  const { value, U, unit } = figure
  if (value === null) return null
  if (!isOneSided || unit !== '%' || U === null || value + U >= LEAST_PERCENT) return units.figure(value, U, unit)
  const least = units.plain(LEAST_PERCENT, unit, false)
  return { value: `under ${LEAST_PERCENT}`, U: null, unit, unitOfU: unit, text: `under ${least}` }
}
