import type { SeverityGrid } from './cause.ts'

const POINTS = 18

/** Sizes from least to most, each ratio as likely as any other: the prior of a size nobody knows the order of. */
export function sizes(name: string, unit: string, least: number, most: number): SeverityGrid {
  return { name, unit, between: true, points: evenInRatio(least, most).map((value) => ({ value, weight: 1 / POINTS })) }
}

/** The same, either way. */
export function sizesEitherWay(name: string, unit: string, least: number, most: number): SeverityGrid {
  const up = evenInRatio(least, most)
  const values = [...up.map((value) => -value).reverse(), ...up]
  return { name, unit, between: true, points: values.map((value) => ({ value, weight: 1 / values.length })) }
}

/** A cause that is there or not. */
export const present: SeverityGrid = { name: 'present', unit: '', between: false, points: [{ value: 1, weight: 1 }] }

/** A few kinds of the same cause, as likely as one another. */
export const kinds = (name: string, values: readonly number[], unit = ''): SeverityGrid => ({
  name,
  unit,
  between: false,
  points: values.map((value) => ({ value, weight: 1 / values.length })),
})

function evenInRatio(least: number, most: number): number[] {
  const ratio = (most / least) ** (1 / (POINTS - 1))
  return Array.from({ length: POINTS }, (_, i) => least * ratio ** i)
}
