/** A number as typed, a comma or a true minus taken as meant; null for anything else and for nothing. */
export function typedNumber(text: string): number | null {
  const plain = text.trim().replace(',', '.').replace('−', '-')
  if (!/^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i.test(plain)) return null
  const value = Number(plain)
  return Number.isFinite(value) ? value : null
}
