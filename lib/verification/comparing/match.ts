import { apart } from './operating-point.ts'
import type { Told } from './told.ts'

/** Operating points nearer than this are taken for the same (common practice, no source). */
const SAME_POINT = 0.1

export type Match = readonly [before: Told, after: Told] | readonly [Told, undefined] | readonly [undefined, Told]

/**
 * Which figure of one record is which of the other: the same test, figure and side, and the nearest operating point
 * within 10 %; nobody meets a speed twice to the digit. The same whichever record is the earlier one.
 */
export function matched(before: readonly Told[], after: readonly Told[]): readonly Match[] {
  const keys = new Set([...before, ...after].map(keyOf))
  return [...keys].flatMap((key) =>
    matchedAlike(
      before.filter((told) => keyOf(told) === key),
      after.filter((told) => keyOf(told) === key),
    ),
  )
}

const keyOf = ({ entry, figure }: Told): string => `${entry.test} ${figure.id} ${figure.side}`

function matchedAlike(before: readonly Told[], after: readonly Told[]): readonly Match[] {
  const near = before
    .flatMap((a) => after.map((b) => ({ a, b, distance: distanceOf(a, b) })))
    .filter(({ distance }) => distance <= SAME_POINT)
    .toSorted((one, other) => one.distance - other.distance)
  const partners = new Map<Told, Told>()
  const taken = new Set<Told>()
  for (const { a, b } of near) {
    if (partners.has(a) || taken.has(b)) continue
    partners.set(a, b)
    taken.add(b)
  }
  return [
    ...before.map((a): Match => {
      const b = partners.get(a)
      return b === undefined ? [a, undefined] : [a, b]
    }),
    ...after.filter((b) => !taken.has(b)).map((b): Match => [undefined, b]),
  ]
}

function distanceOf(a: Told, b: Told): number {
  if (a.figure.point === b.figure.point) return 0
  return a.at === null || b.at === null ? Number.POSITIVE_INFINITY : apart(a.at, b.at)
}
