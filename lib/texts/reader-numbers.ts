import { type ReadersUnit, type ReadersUnits, readersQuotient, readersUnit } from './reader-units.ts'

/** What a reader chose for numbers. */
export interface NumberChoice extends ReadersUnits {
  readonly mark: '.' | ','
}

const NBSP = '\u00a0'
/** No part of something with more points: an address, a version, a clause 5.1.2. */
const DECIMAL = /(?<![\d.,A-Za-z_])(\d+)\.(\d+)(?![.,]?\d)/g

/** A bare figure with the reader's decimal mark. */
export function markedFigure(text: string, choice: NumberChoice): string {
  return choice.mark === '.' ? text : text.replace(DECIMAL, `$1${choice.mark}$2`)
}

const NUMBER = String.raw`[−-]?(?:\d{1,3}(?:\u202f\d{3})+|\d+)(?:[.,]\d+)?(?:e[+-]?\d+)?`
const BETWEEN = String.raw`[\s\u00a0]?(?:±|…|–|/|,|to|and|or|bis|und|oder|from|von)[\s\u00a0]`
const UNIT =
  '(?:N/mV/V|N/mA|N/mm|N/V|N/m|N/h|mm/m|mV/V/N|mA/N|V/N|mV/V|m/min|m/s²|m/s|mm|mA|mV|kN|MB|GB|kB|TB|kg|rpm|kHz|Hz|min|ms|N|V|A|K|°C|°F|°|%|lbf/in|lbf|kgf/cm|kgf|ft/min|in|ppm|points|Punkte|h|s|m|g)'
/** For each degree or each unit of speed: `%/K`, `% of span/K`, `N per m/s`, in the words of each language. */
const EACH = '(?:(?: of span| der Messspanne)?(?:/| per | je | pro )(?:K|m/s))?'
/** One number or several before their unit: `2.1 N`, `206.4 ± 2.1 N`, `20 to 500 N`. A word or power after it is none. */
const MEASURED = new RegExp(
  String.raw`(±[\s\u00a0]?)?(?<![\d.,A-Za-z_\u202f]|e[+-])((?:${NUMBER}${BETWEEN})*${NUMBER})([\s\u00a0]?)(${UNIT}${EACH})(?![A-Za-z\d·²³^/_=(-])`,
  'g',
)
const NUMBERS = new RegExp(NUMBER, 'g')

/** How the unit of a sentence is written in the one the reader chose. */
function conversionOf(unit: string, choice: ReadersUnits): ReadersUnit | null {
  const [, over, between, under] =
    /^(.+?)((?: of span| der Messspanne)?(?:\/| per | je | pro ))(K|m\/s)$/.exec(unit) ?? []
  return over === undefined || between === undefined || under === undefined
    ? readersUnit(unit, choice)
    : readersQuotient(over, between, under, choice)
}

const numberOf = (text: string): number =>
  Number(
    text
      .replace(/\u202f/g, '')
      .replace(',', '.')
      .replace('−', '-'),
  )

const decimalsOf = (text: string): number => /[.,](\d+)/.exec(text)?.[1]?.length ?? 0

const LEAST_WITHOUT_EXPONENT = 1e-6
const MOST_DECIMALS = 12

/** With three significant digits or as many as were told; no digit is made up. */
function written(value: number, told: string): string {
  const digits = Math.max(3, told.replace(/e.*$/, '').replace(/^[−-]?[0.,]*|[^\d]/g, '').length)
  const rounded = Number(value.toPrecision(Math.min(digits, 15)))
  if (rounded !== 0 && Math.abs(rounded) < LEAST_WITHOUT_EXPONENT) return rounded.toExponential().replace(/^-/, '−')
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(rounded) || 1)))
  const text = Math.abs(rounded).toFixed(Math.min(decimals, MOST_DECIMALS))
  const short = text.includes('.') ? text.replace(/\.?0+$/, '') : text
  return signed(short, value)
}

/** With so many decimals, a true minus, never before a nought. */
const fixed = (value: number, decimals: number): string => signed(Math.abs(value).toFixed(decimals), value)
const signed = (size: string, value: number): string => (value < 0 && /[1-9]/.test(size) ? '−' : '') + size

/** Decimals of two digits of an uncertainty (JCGM 100:2008, 7.2.6); null where it is none. */
function decimalsFor(U: number): number | null {
  if (!(U > 0)) return null
  return Math.min(MOST_DECIMALS, Math.max(0, 1 - Math.floor(Math.log10(Number(U.toPrecision(2))))))
}

/**
 * Numbers of one unit in the reader's. What stands behind ± is a difference, also of a temperature, and is rounded to two
 * digits, the value before it to the same place; a temperature without it keeps its decimals, anything else its digits.
 */
function converted(numbers: string, isHalf: boolean, conversion: ReadersUnit): string {
  const places = [...numbers.matchAll(NUMBERS)]
  const isUncertainty = (i: number) => (i === 0 ? isHalf : /±[\s\u00a0]$/.test(numbers.slice(0, places[i]?.index ?? 0)))
  const decimalsBy = (i: number) => decimalsFor(conversion.difference(numberOf(places[i]?.[0] ?? '')))
  let i = -1
  return numbers.replace(NUMBERS, (told) => {
    i += 1
    const isDifference = isUncertainty(i)
    const value = (isDifference ? conversion.difference : conversion.value)(numberOf(told))
    const decimals = isDifference && i > 0 ? decimalsBy(i) : isUncertainty(i + 1) ? decimalsBy(i + 1) : null
    if (decimals !== null) return fixed(value, decimals)
    return conversion.hasOffset && !isDifference ? fixed(value, decimalsOf(told)) : written(value, told)
  })
}

/** Numbers that are told in `unit` and stand without it, as a sentence would convert them. */
export function readersNumbers(numbers: string, unit: string, units: ReadersUnits): string {
  const conversion = conversionOf(unit, units)
  return conversion === null ? numbers : converted(numbers, false, conversion)
}

/**
 * A sentence whose numbers with a unit are in the reader's decimal mark and units: all that lib/texts/reader-units.ts
 * knows. A temperature is told in °C and a difference of temperatures in K, so that each can be converted. Numbers
 * without a unit stay: they may be a clause of a standard or a version.
 */
export function readersSentence(text: string, choice: NumberChoice): string {
  return text.replace(MEASURED, (_, half: string | undefined, numbers: string, gap: string, unit: string) => {
    const conversion = conversionOf(unit, choice)
    const told = conversion === null ? numbers : converted(numbers, half !== undefined, conversion)
    const marked = told.replace(NUMBERS, (number) =>
      choice.mark === ',' ? number.replace('.', ',') : number.replace(/(\d),(\d)/, '$1.$2'),
    )
    return (half ?? '') + marked + (gap === '' ? '' : NBSP) + (conversion?.unit ?? unit)
  })
}
