import { differenceUnit } from '../../lib/statistics/difference-unit.ts'
import { readersSentence } from '../../lib/texts/reader-numbers.ts'
import type { Figure } from '../../shared/schemas/now.ts'
import { isSi, type UnitChoice } from '../../shared/unit-choice.ts'

export const SIDES = { drive_side: 'drive side', operator_side: 'operator side', single: 'cell' } as const

export function valueWords({ value, U, unit, waiting, verdict }: Figure): string {
  if (value === null) return `unknown: ${waiting ?? verdict.sentence}`
  return U === null ? `${rounded(value, Math.abs(value))} ${unit}` : withU(value, U, unit)
}

/** `250.4 ± 2.1 N`. */
export const withU = (value: number, U: number, unit: string): string =>
  `${rounded(value, U)} ± ${rounded(U, U)} ${unit}`

export function windowWords({ window }: Figure): string {
  return window === null ? '' : `over ${rounded(window.seconds, window.seconds)} s, ${window.samples} samples`
}

export function verdictWords({ value, limit, verdict, unit }: Figure): string {
  if (limit === null) return value === null ? '' : 'for information'
  const within =
    limit.target === 0 ? `±${limit.half} ${differenceUnit(unit)}` : `${limit.target} ± ${limit.half} ${unit}`
  return `${verdict.state}, limit ${within}`
}

/** As many decimals as show two digits of `scale`, at most six. */
export function rounded(value: number, scale: number): string {
  const decimals = scale > 0 ? Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(scale)))) : 2
  return value.toFixed(decimals)
}

/** What tells a text of the program in the units that were asked for; a blank stays one that a terminal shows. */
export const toldInUnits =
  (units: UnitChoice) =>
  (text: string): string =>
    isSi(units) ? text : readersSentence(text, { mark: '.', ...units }).replaceAll('\u00a0', ' ')
