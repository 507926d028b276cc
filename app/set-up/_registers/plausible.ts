/** Smallest and largest size of a number that a measured quantity is likely to have, other than zero. */
const LEAST_SIZE = 0.001
const MOST_SIZE = 1_000_000

export const PLAUSIBLE_RULE =
  'Full ink: zero, or a size from 0.001 to 1 000 000. Dimmed: every other size, as a wrong type or order often gives; floats of it in three digits.'

/**
 * Whether a number has a size one meets at a machine. Only a help for the eye: a float read in the
 * wrong order tends to be absurdly large or small, because exponent bits and fraction bits change
 * places (IEEE 754 binary32). False for null.
 */
export function isPlausible(value: number | null): boolean {
  if (value === null) return false
  const size = Math.abs(value)
  return size === 0 || (size >= LEAST_SIZE && size <= MOST_SIZE)
}

/**
 * A float32 in so few digits that it still reads back as itself: at most nine are needed
 * (IEEE 754-2019, 5.12.2, binary32).
 */
export function shortestFloat32(value: number): string {
  for (let digits = 1; digits < 9; digits++) {
    const text = value.toPrecision(digits)
    if (Math.fround(Number(text)) === Math.fround(value)) return tidy(text)
  }
  return tidy(value.toPrecision(9))
}

/** A float32 as it stands in the table: whole where its size is plausible, else its size in three digits. */
export function tableFloat32(value: number): string {
  return isPlausible(value) ? shortestFloat32(value) : value.toExponential(2).replace(/-/g, '−')
}

/** Plain digits for sizes one can read, powers of ten for others; a true minus. */
function tidy(text: string): string {
  const value = Number(text)
  const size = Math.abs(value)
  const plain = size === 0 || (size >= 1e-4 && size < 1e9)
  return (plain ? String(value) : value.toExponential()).replace(/-/g, '−')
}

/** A whole number with its thousands set apart by thin spaces. */
export function wholeNumber(value: number): string {
  const digits = String(Math.abs(value)).replace(/\B(?=(\d{3})+$)/g, '\u202f')
  return value < 0 ? `−${digits}` : digits
}
