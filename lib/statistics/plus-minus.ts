import { shortNumber } from './words.ts'

/** "0.970 ± 0.050": U with two digits, the value to the same place (JCGM 100, 7.2.6); three digits of the value where it bears no U. */
export function plusMinus(value: number, U: number | null): string {
  if (U === null || !(U > 0)) return shortNumber(value)
  const decimals = Math.min(12, Math.max(0, 1 - Math.floor(Math.log10(Number(U.toPrecision(2))))))
  return `${unsigned(value.toFixed(decimals))} ± ${U.toFixed(decimals)}`
}

/** No minus before a nought. */
const unsigned = (text: string): string => (/^-[0.]+$/.test(text) ? text.slice(1) : text)

/** A degree stands at its number, every other unit apart from it. */
export const withUnit = (number: string, unit: string): string =>
  unit === '' ? number : unit === '°' ? `${number}°` : `${number} ${unit}`
