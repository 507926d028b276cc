import { SI_CHOICE, type UnitChoice, WIDTH_UNIT } from '../../shared/unit-choice.ts'
import { differenceFromSi, fromSi, type QuantityKind, toSi } from '../../shared/units.ts'

/** Units instead of those in which figures and sentences are made; left out, they stay. */
export type ReadersUnits = { readonly [K in keyof UnitChoice]?: UnitChoice[K] }

/** How a number told in one unit is told in the reader's. */
export interface ReadersUnit {
  readonly unit: string
  readonly value: (n: number) => number
  /** Of a difference, a spread, an uncertainty: no offset is taken. */
  readonly difference: (n: number) => number
  /** Zero of the one is not zero of the other: digits are kept by place, not by count. */
  readonly hasOffset: boolean
}

/** Plain units with a choice. Temperatures are °C, their differences K; see lib/statistics/difference-unit.ts. */
const KIND_OF: Readonly<Record<string, readonly [kind: QuantityKind, chosen: keyof UnitChoice]>> = {
  N: ['force', 'force'],
  kN: ['force', 'force'],
  'm/min': ['speed', 'speed'],
  'm/s': ['speed', 'speed'],
  mm: ['length', 'length'],
  m: ['length', 'length'],
  '°C': ['temperature', 'temperature'],
}

const linear = (unit: string, factor: number): ReadersUnit => {
  const of = (n: number) => n * factor
  return { unit, value: of, difference: of, hasOffset: false }
}

/**
 * The reader's unit for what is told in `unit`, a plain one or a quotient (`N/mA`, `%/K`); null where it stays: it has
 * no choice, or the reader chose SI. To a reader of °C a difference stays K, which no one takes for a temperature; to a
 * reader of °F it is told in °F, for which the trade has no second word (NIST SP 811 (2008), B.8: 1 K = 1.8 °F).
 */
export function readersUnit(unit: string, choice: ReadersUnits): ReadersUnit | null {
  return special(unit, choice) ?? plain(unit, choice) ?? quotient(unit, choice)
}

/** The same of a unit that stays, which changes nothing. */
export const inReadersUnit = (unit: string, choice: ReadersUnits): ReadersUnit =>
  readersUnit(unit, choice) ?? { unit, value: (n) => n, difference: (n) => n, hasOffset: false }

function plain(unit: string, choice: ReadersUnits): ReadersUnit | null {
  const [kind, chosen] = KIND_OF[unit] ?? []
  const to = chosen === undefined ? undefined : choice[chosen]
  if (kind === undefined || chosen === undefined || to === undefined) return null
  if (to === unit || to === SI_CHOICE[chosen]) return null
  return {
    unit: to,
    value: (n) => fromSi(kind, toSi(kind, n, unit), to),
    difference: (n) => differenceFromSi(kind, toSi(kind, n, unit) - toSi(kind, 0, unit), to),
    hasOffset: kind === 'temperature',
  }
}

/** What is no unit of shared/units.ts, or no quotient of plain ones. */
function special(unit: string, { force = 'N', speed, length, temperature }: ReadersUnits): ReadersUnit | null {
  switch (unit) {
    case 'K':
      return temperature === '°F' ? linear('°F', differenceFromSi('temperature', 1, '°F')) : null
    case 'N/m':
      return force === 'N' ? null : linear(WIDTH_UNIT[force], fromSi('tensionPerWidth', 1, WIDTH_UNIT[force]))
    case 'mm/m':
      return length === 'in' ? linear('in/ft', fromSi('length', 0.001, 'in') / fromSi('length', 1, 'ft')) : null
    case 'm/s²':
      return speed === 'ft/min' ? linear('ft/s²', fromSi('length', 1, 'ft')) : null
    default:
      return null
  }
}

/** Cut before its last unit where that has a choice (`mV/V/N`), else behind its first (`N/mV/V`). */
function quotient(unit: string, choice: ReadersUnits): ReadersUnit | null {
  const last = unit.lastIndexOf('/')
  if (last < 0 || KIND_OF[unit] !== undefined) return null
  const isLast = KIND_OF[unit.slice(last + 1)] !== undefined || unit.endsWith('/K')
  const at = isLast ? last : unit.indexOf('/')
  return readersQuotient(unit.slice(0, at), '/', unit.slice(at + 1), choice)
}

/** The reader's unit of so many `over` for each `under`, with what is said between them: `N per K`. */
export function readersQuotient(
  over: string,
  between: string,
  under: string,
  choice: ReadersUnits,
): ReadersUnit | null {
  const [top, bottom] = [readersUnit(over, choice), readersUnit(under, choice)]
  if (top === null && bottom === null) return null
  const factor = (top?.difference(1) ?? 1) / (bottom?.difference(1) ?? 1)
  return linear(`${top?.unit ?? over}${between}${bottom?.unit ?? under}`, factor)
}
