import { decimalMark } from '../_language/current.ts'

const NUMBER = /^[-+]?(\d+[.,]?\d*|[.,]\d+)(e[-+]?\d+)?$/i
/** As many thousands as one and a bit: `1.500` or `1,500`. */
const MAY_BE_GROUPED = /^[-+]?[1-9]\d{0,2}([.,])\d{3}$/

/**
 * A number as typed, with a decimal point or a decimal comma, a true minus taken as meant; null for anything else and
 * for nothing. What may be a sign between thousands is refused: with a decimal point chosen, `1,500` is 1500 for some
 * and 1.5 for others.
 */
export function typedNumber(text: string): number | null {
  const plain = plainOf(text)
  if (!NUMBER.test(plain) || isGrouped(plain)) return null
  const value = Number(plain.replace(',', '.'))
  return Number.isFinite(value) ? value : null
}

/** What is wrong with a text that has to be a number; null where nothing is. */
export function numberTrouble(text: string): string | null {
  if (typedNumber(text) !== null) return null
  const plain = plainOf(text)
  if (isGrouped(plain) || /^[-+]?\d{1,3}([.,\s'’]\d{3})+([.,]\d+)?$/.test(plain))
    return 'Thousands or decimals? Type the number without signs between thousands.'
  return 'This is not a number.'
}

const plainOf = (text: string): string => text.trim().replace('−', '-')

function isGrouped(plain: string): boolean {
  const [, mark] = MAY_BE_GROUPED.exec(plain) ?? []
  return mark !== undefined && mark !== decimalMark()
}

/** A number as it is put into a field: all its digits, in the reader's decimal mark. */
export const fieldNumber = (value: number): string => String(value).replace('.', decimalMark())
