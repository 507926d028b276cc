import { zoneGeometry } from '../../../shared/schemas/geometry.ts'
import type { Drawing } from './rollers.ts'

/** One figure that two geometries do not share. */
export interface Difference {
  /** `rollers: measuring: x_mm` */
  readonly key: string
  readonly mine: string
  readonly theirs: string
}

/** What differs between two geometries once defaults are filled in, key by key; null stands for no geometry. */
export function differencesOf(mine: Drawing | null, theirs: Drawing | null): Difference[] {
  const [a, b] = [leavesOf(withDefaults(mine)), leavesOf(withDefaults(theirs))]
  return [...new Set([...a.keys(), ...b.keys()])]
    .map((key) => ({ key, mine: a.get(key) ?? 'not given', theirs: b.get(key) ?? 'not given' }))
    .filter(({ mine: one, theirs: other }) => one !== other)
}

export const isSame = (a: Drawing | null, b: Drawing | null): boolean => differencesOf(a, b).length === 0

function withDefaults(drawing: Drawing | null): unknown {
  const parsed = zoneGeometry.safeParse(drawing)
  return parsed.success ? parsed.data : drawing
}

function leavesOf(
  value: unknown,
  path: readonly string[] = [],
  found = new Map<string, string>(),
): Map<string, string> {
  if (value === null || value === undefined) return found
  if (typeof value !== 'object') return found.set(path.join(': '), String(value))
  for (const [key, part] of Object.entries(value)) {
    const name = Array.isArray(value) ? String(Number(key) + 1) : key
    leavesOf(part, [...path, name], found)
  }
  return found
}
