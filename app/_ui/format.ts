import { differenceUnit } from '../../lib/statistics/difference-unit.ts'
import { type UnitChoice, WIDTH_UNIT } from '../../shared/unit-choice.ts'
import { differenceFromSi, fromSi, type QuantityKind } from '../../shared/units.ts'
import { decimalMark, tellingNow, typed } from '../_language/current.ts'

/**
 * Figures as a person reads them, in the units the reader chose. Pure: the choice is an argument.
 *
 * A value is rounded to its uncertainty: U to two significant digits, the value to the same decimals
 * (JCGM 100:2008, 7.2.6). Minus is U+2212, spaces inside a figure do not break.
 */
const MINUS = '−'
export const NBSP = '\u00a0'
const MOST_DECIMALS = 6
/** A share of a limit of some percent: more digits than these tell nobody anything. */
const MOST_DECIMALS_OF_PERCENT = 4
/** Significant digits of a value that states no uncertainty. */
const PLAIN_DIGITS = 4
/** Of a mean or a sample whose uncertainty nobody knows: more digits would claim what is not known. */
const ROUGH_DIGITS = 3

interface Conversion {
  readonly unit: string
  /** Of a difference or an uncertainty that stands alone: that of a temperature in °C is K. */
  readonly differenceUnit: string
  readonly value: (si: number) => number
  readonly difference: (si: number) => number
}

function byKind(kind: QuantityKind, unit: string, suffix = ''): Conversion {
  return {
    unit: unit + suffix,
    differenceUnit: differenceUnit(unit + suffix),
    value: (si) => fromSi(kind, si, unit),
    difference: (si) => differenceFromSi(kind, si, unit),
  }
}

const same = (si: number): number => si
const unchanged = (unit: string): Conversion => ({
  unit,
  differenceUnit: differenceUnit(unit),
  value: same,
  difference: same,
})

/** How a figure told in an SI unit is shown; a unit that has no choice (%, points/h, ms) stays as it is. */
export function conversionOf(siUnit: string, choice: UnitChoice): Conversion {
  switch (siUnit) {
    case 'N':
      return byKind('force', choice.force)
    case 'N/h':
      return byKind('force', choice.force, '/h')
    case 'N/m':
      return byKind('tensionPerWidth', WIDTH_UNIT[choice.force])
    case 'm':
      return byKind('length', choice.length)
    case 'm/s':
      return byKind('speed', choice.speed)
    case '1/s':
      return byKind('rotation', 'rpm')
    case '°C':
      return byKind('temperature', choice.temperature)
    case '1':
      return unchanged('')
    default:
      return unchanged(siUnit)
  }
}

/** Decimals that show `uncertainty` with two significant digits; 0 for anything of ten or more. */
export function decimalsFor(uncertainty: number): number {
  if (!(uncertainty > 0) || !Number.isFinite(uncertainty)) return 0
  const roundedToTwo = Number(uncertainty.toPrecision(2))
  return Math.min(MOST_DECIMALS, Math.max(0, 1 - Math.floor(Math.log10(roundedToTwo))))
}

/** Decimals that show `value` with four significant digits, at most three. */
function plainDecimals(value: number): number {
  const size = Math.abs(value)
  const before = size < 1 ? 1 : Math.floor(Math.log10(size)) + 1
  return Math.min(3, Math.max(0, PLAIN_DIGITS - before))
}

/** A number with so many decimals, in the reader's decimal mark, thousands set apart by thin spaces from 10 000 on, a true minus, never "−0". */
export function formatNumber(value: number, decimals: number): string {
  const [whole = '', fraction] = Math.abs(value).toFixed(decimals).split('.')
  const grouped = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, '\u202f') : whole
  const digits = fraction === undefined ? grouped : `${grouped}${decimalMark()}${fraction}`
  const isZero = !/[1-9]/.test(digits)
  return value < 0 && !isZero ? MINUS + digits : digits
}

export interface FormattedFigure {
  /** Number alone. */
  readonly value: string
  /** Expanded uncertainty alone; null when it has none. */
  readonly U: string | null
  readonly unit: string
  /** Where U stands alone. */
  readonly unitOfU: string
  /** `206.4 ± 2.1 N` */
  readonly text: string
}

/** A value (SI) with its expanded uncertainty (SI, null when it has none) in the reader's units; of a difference no offset is taken. */
export function formatFigure(
  value: number,
  U: number | null,
  siUnit: string,
  choice: UnitChoice,
  isDifference = false,
): FormattedFigure {
  const conversion = conversionOf(siUnit, choice)
  const shown = isDifference ? conversion.difference(value) : conversion.value(value)
  const shownU = U === null ? null : conversion.difference(U)
  const most = siUnit === '%' ? MOST_DECIMALS_OF_PERCENT : MOST_DECIMALS
  const decimals = shownU !== null && shownU > 0 ? Math.min(most, decimalsFor(shownU)) : plainDecimals(shown)
  const valueText = formatNumber(shown, decimals)
  // Where the decimals end, an uncertainty is rounded up to the last of them: it is never shown as none.
  const leastU = shownU !== null && shownU > 0 ? 10 ** -decimals : 0
  const uText = shownU === null ? null : formatNumber(Math.max(shownU, leastU), decimals)
  const unit = isDifference ? conversion.differenceUnit : conversion.unit
  const uPart = uText === null ? '' : `${NBSP}±${NBSP}${uText}`
  return {
    value: valueText,
    U: uText,
    unit,
    unitOfU: conversion.differenceUnit,
    text: withUnit(valueText + uPart, unit),
  }
}

export type RoughFigure = Pick<FormattedFigure, 'value' | 'unit' | 'text'>

/**
 * A measured value (SI) whose uncertainty is not known: three significant digits, at most three decimals, and a nought
 * without any, because 0.000 would look like a value that is known to a thousandth.
 */
export function formatRough(value: number, siUnit: string, choice: UnitChoice): RoughFigure {
  const conversion = conversionOf(siUnit, choice)
  const shown = conversion.value(value)
  const size = Math.abs(shown)
  const before = size < 1 ? 1 : Math.floor(Math.log10(size)) + 1
  const text = formatNumber(shown, size === 0 ? 0 : Math.min(3, Math.max(0, ROUGH_DIGITS - before)))
  return { value: text, unit: conversion.unit, text: withUnit(text, conversion.unit) }
}

/** A limit, a span or another exact number (SI) in the reader's units, without needless zeros. */
export function formatPlain(value: number, siUnit: string, choice: UnitChoice, isDifference: boolean): string {
  const conversion = conversionOf(siUnit, choice)
  const shown = isDifference ? conversion.difference(value) : conversion.value(value)
  return withUnit(formatTrimmed(shown), isDifference ? conversion.differenceUnit : conversion.unit)
}

/** A reading of an instrument of whatever scale, with four significant digits: `12.40`, `0.004204`. */
export function formatSignificant(value: number): string {
  const rounded = Math.abs(Number(value.toPrecision(PLAIN_DIGITS)))
  if (!(rounded > 0)) return formatNumber(value, 0)
  return formatNumber(value, Math.max(0, PLAIN_DIGITS - 1 - Math.floor(Math.log10(rounded))))
}

/** At most four significant digits, no trailing zeros. */
export function formatTrimmed(value: number): string {
  const text = formatNumber(value, plainDecimals(value))
  return text.includes(decimalMark()) ? text.replace(/[.,]?0+$/, '') : text
}

export function withUnit(number: string, unit: string): string {
  return unit === '' ? number : `${number}${NBSP}${unit}`
}

/** An age in words short enough to stand beside every figure. */
export function formatAge(seconds: number): string {
  if (seconds < 9.95) return `${formatNumber(seconds, 1)}${NBSP}s`
  return formatDuration(seconds)
}

/** A length of time: `40 s`, `4 min 12 s`, `3 h 5 min`. */
export function formatDuration(seconds: number): string {
  const whole = Math.round(seconds)
  if (whole < 60) return `${whole}${NBSP}s`
  const minutes = Math.floor(whole / 60)
  if (minutes < 60) return whole % 60 === 0 ? `${minutes}${NBSP}min` : `${minutes}${NBSP}min ${whole % 60}${NBSP}s`
  const hours = Math.floor(minutes / 60)
  return minutes % 60 === 0 ? `${hours}${NBSP}h` : `${hours}${NBSP}h ${minutes % 60}${NBSP}min`
}

/** Time of day of an epoch time, in this browser's zone, always with 24 hours. */
export function formatClock(epochMs: number): string {
  return new Date(epochMs).toLocaleTimeString('en-GB', { hour12: false })
}

/** Day of an epoch time, in this browser's zone: `2026-03-09` (ISO 8601), which no two countries read differently. */
export function formatDay(epochMs: number): string {
  const date = new Date(epochMs)
  const twoDigits = (n: number) => String(n).padStart(2, '0')
  return `${date.getFullYear()}-${twoDigits(date.getMonth() + 1)}-${twoDigits(date.getDate())}`
}

const DATE_LOCALES = { en: 'en-GB', de: 'de-DE' } as const

/** Day of an epoch time in words, in the reader's language: `9 March 2026`. */
export function formatLongDay(epochMs: number): string {
  const parts = { day: 'numeric', month: 'long', year: 'numeric' } as const
  return typed(new Date(epochMs).toLocaleDateString(DATE_LOCALES[tellingNow().language], parts))
}
