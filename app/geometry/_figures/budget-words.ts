import { degrees } from '../../../lib/geometry/vector.ts'
import type { BudgetRow } from '../../../lib/uncertainty/propagate.ts'
import { toSi } from '../../../shared/units.ts'
import { conversionOf, formatNumber, NBSP, withUnit } from '../../_ui/format.ts'
import type { Units } from '../../_ui/units.tsx'
import { plainWithU } from './words.ts'

/** Value ± U in the reader's unit; angles in degrees. */
export function figureInWords(value: number, U: number, unit: string, units: Units): string {
  if (unit === 'N') return units.figure(value, U, 'N').text
  if (unit === 'rad') return plainWithU(degrees(value), degrees(U), '°')
  return plainWithU(value, U, unit === '1' ? '' : unit)
}

/** Unit and size of one step of an input, as a reader counts it. */
const COUNTED: Readonly<Record<string, readonly [unit: string, si: number]>> = {
  rad: ['°', Math.PI / 180],
  m: ['mm', 1e-3],
  'kg/m²': ['g/m²', 1e-3],
}

/** What one step of an input does to the output: `1.6 N per mm`. */
export function sensitivityInWords({ sensitivity, unit: of }: BudgetRow, unit: string, units: Units): string {
  const [name, si] = of === 'N' ? [units.choice.force, toSi('force', 1, units.choice.force)] : (COUNTED[of] ?? [of, 1])
  return `${partInWords(sensitivity * si, unit, units)}${name === '1' ? '' : ` per${NBSP}${name}`}`
}

/** A part of an output, to three digits, in the reader's unit. */
export function partInWords(value: number, unit: string, units: Units): string {
  const conversion = conversionOf(unit === 'rad' ? '°' : unit, units.choice)
  const shown = conversion.difference(unit === 'rad' ? degrees(value) : value)
  const digits = Math.abs(shown) < 1e-9 ? 0 : Math.max(0, 2 - Math.floor(Math.log10(Math.abs(shown))))
  const text = formatNumber(shown, digits)
  return unit === 'rad' ? `${text}°` : withUnit(text, conversion.unit)
}
