/** Values of the same key together, in the order in which they came. */
export function grouped<T>(values: readonly T[], keyOf: (value: T) => string): ReadonlyMap<string, readonly T[]> {
  const groups = new Map<string, T[]>()
  for (const value of values) {
    const group = groups.get(keyOf(value))
    if (group === undefined) groups.set(keyOf(value), [value])
    else group.push(value)
  }
  return groups
}
