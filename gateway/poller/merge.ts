/** Something that occupies registers `start` to `end` (end not included). */
export interface Placed {
  readonly id: string
  readonly start: number
  readonly end: number
}

export interface MergeLimits {
  /** Registers that may be read and thrown away between two neighbours. */
  readonly gap: number
  /** Most registers in one request. */
  readonly count: number
}

/**
 * Groups that share a request whatever lies between them: the two sides of a zone, where their
 * span fits `count` registers; every other thing alone. A thing in two pairs draws both together
 * as long as the whole still fits.
 */
export function togetherByPairs<T extends Placed>(
  things: readonly T[],
  pairs: readonly (readonly [string, string])[],
  count: number,
): T[][] {
  const groupOf = new Map(things.map((thing) => [thing.id, [thing]]))
  for (const [a, b] of pairs) {
    const left = groupOf.get(a)
    const right = groupOf.get(b)
    if (left === undefined || right === undefined || left === right) continue
    const joined = [...left, ...right]
    if (width(joined) > count) continue
    for (const thing of joined) groupOf.set(thing.id, joined)
  }
  return [...new Set(groupOf.values())]
}

/**
 * Joins groups from the lowest register up, while the gap to the next and the whole width stay
 * within the limits. A group is never taken apart, even where it is wider than `count`.
 */
export function joinNeighbours<T extends Placed>(groups: readonly (readonly T[])[], limits: MergeLimits): T[][] {
  const sorted = [...groups].sort((a, b) => startOf(a) - startOf(b) || endOf(a) - endOf(b))
  const runs: T[][] = []
  for (const group of sorted) {
    const run = runs.at(-1)
    if (run !== undefined && startOf(group) - endOf(run) <= limits.gap && width([...run, ...group]) <= limits.count)
      run.push(...group)
    else runs.push([...group])
  }
  return runs
}

function startOf(things: readonly Placed[]): number {
  return Math.min(...things.map((thing) => thing.start))
}

function endOf(things: readonly Placed[]): number {
  return Math.max(...things.map((thing) => thing.end))
}

function width(things: readonly Placed[]): number {
  return endOf(things) - startOf(things)
}
