import { type UnitChoice, WIDTH_UNIT } from '../../shared/unit-choice.ts'
import { inReadersUnit } from '../texts/reader-units.ts'

/** On paper, in one line: which units it is told in, and that what is recorded is in SI. A mass has no choice. */
export function unitsWords(units: UnitChoice): string {
  const { force, speed, length, temperature } = units
  const all = [force, WIDTH_UNIT[force], speed, length, temperature, inReadersUnit('K', units).unit, 'kg']
  return `Told in ${[...new Set(all)].join(', ')}; recorded in SI.`
}
