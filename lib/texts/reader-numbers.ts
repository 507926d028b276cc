import { fromSi, type QuantityKind, toSi } from '../../shared/units.ts'

/** What a reader chose for numbers. */
export interface NumberChoice {
  readonly mark: '.' | ','
  /** Units instead of those in which sentences are made; left out, they stay. */
  readonly force?: string
  readonly speed?: string
  readonly length?: string
}

const NBSP = '\u00a0'
/** No part of something with more points: an address, a version, a clause 5.1.2. */
const DECIMAL = /(?<![\d.,A-Za-z_])(\d+)\.(\d+)(?![.,]?\d)/g

/** A bare figure with the reader's decimal mark. */
export function markedFigure(text: string, choice: NumberChoice): string {
  return choice.mark === '.' ? text : text.replace(DECIMAL, `$1${choice.mark}$2`)
}

const NUMBER = String.raw`[−-]?(?:\d{1,3}(?:\u202f\d{3})+|\d+)(?:[.,]\d+)?`
const BETWEEN = String.raw`[\s\u00a0]?(?:±|…|–|/|,|to|and|or|bis|und|oder|from|von)[\s\u00a0]`
const UNIT =
  '(?:N/m|N/h|mm/m|mV/V/N|mV/V|m/min|m/s|mm|mA|mV|kN|MB|GB|kB|TB|kg|rpm|kHz|Hz|min|ms|N|V|A|K|°C|°F|°|%|lbf/in|lbf|kgf/cm|kgf|ft/min|in|ppm|h|s|m|g)'
/** One number or several before their unit: `2.1 N`, `206.4 ± 2.1 N`, `20 to 500 N`. A word or power after it is none. */
const MEASURED = new RegExp(
  String.raw`(?<![\d.,A-Za-z_\u202f])((?:${NUMBER}${BETWEEN})*${NUMBER})([\s\u00a0]?)(${UNIT})(?![A-Za-z\d·²³^/_=(-])`,
  'g',
)

/** How a unit of a sentence is written in the one the reader chose. */
function conversionTo(unit: string, choice: NumberChoice): { unit: string; of: (n: number) => number } | null {
  const linear = (kind: QuantityKind, from: string, to: string, suffix = '') =>
    from === to ? null : { unit: to + suffix, of: (n: number) => fromSi(kind, toSi(kind, n, from), to) }
  const force = choice.force ?? 'N'
  const perWidth = { N: 'N/m', lbf: 'lbf/in', kgf: 'kgf/cm' }[force] ?? 'N/m'
  switch (unit) {
    case 'N':
      return linear('force', 'N', force)
    case 'N/h':
      return linear('force', 'N', force, '/h')
    case 'N/m':
      return linear('tensionPerWidth', 'N/m', perWidth)
    case 'm/min':
      return linear('speed', 'm/min', choice.speed ?? 'm/min')
    case 'mm':
      return linear('length', 'mm', choice.length ?? 'mm')
    default:
      return null
  }
}

const numberOf = (text: string): number =>
  Number(
    text
      .replace(/\u202f/g, '')
      .replace(',', '.')
      .replace('−', '-'),
  )

/** With three significant digits or as many as were told; no digit is made up. */
function written(value: number, told: string): string {
  const digits = Math.max(3, told.replace(/^[−-]?[0.,]*|[^\d]/g, '').length)
  const rounded = Number(value.toPrecision(Math.min(digits, 15)))
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(rounded) || 1)))
  const text = Math.abs(rounded).toFixed(Math.min(decimals, 9))
  const short = text.includes('.') ? text.replace(/\.?0+$/, '') : text
  return (value < 0 ? '−' : '') + short
}

/**
 * A sentence whose numbers with a unit are in the reader's decimal mark and units. Force, force by width, web speed and
 * millimetres are converted; a temperature is not, because a sentence does not tell a temperature from a difference of
 * two. Numbers without a unit stay: they may be a clause of a standard or a version.
 */
export function readersSentence(text: string, choice: NumberChoice): string {
  return text.replace(MEASURED, (_, numbers: string, gap: string, unit: string) => {
    const conversion = conversionTo(unit, choice)
    const told = numbers.replace(new RegExp(NUMBER, 'g'), (number) => {
      const value = conversion === null ? number : written(conversion.of(numberOf(number)), number)
      return choice.mark === ',' ? value.replace('.', ',') : value.replace(/(\d),(\d)/, '$1.$2')
    })
    return told + (gap === '' ? '' : NBSP) + (conversion?.unit ?? unit)
  })
}
