import { isDeepStrictEqual } from 'node:util'
import type { ConfigPath } from '../finding.ts'

/** One key or list item to set; without `value` it is taken out. */
export interface KeyEdit {
  readonly path: ConfigPath
  readonly value?: unknown
}

/**
 * The smallest edits that turn plain data `before` into `after`. A list that keeps its length is edited
 * item by item, so that the comments in it stay; another is replaced whole.
 */
export function keyEdits(before: unknown, after: unknown, path: ConfigPath): KeyEdit[] {
  if (isDeepStrictEqual(before, after)) return []
  if (after === undefined) return [{ path }]
  if (Array.isArray(before) && Array.isArray(after) && before.length === after.length)
    return after.flatMap((item, i) => keyEdits(before[i], item, [...path, i]))
  if (!isMapping(before) || !isMapping(after)) return [{ path, value: after }]
  const names = new Set([...Object.keys(before), ...Object.keys(after)])
  return [...names].flatMap((name) => keyEdits(own(before, name), own(after, name), [...path, name]))
}

/** Plain data with these edits made; the data given is left alone. Throws RangeError where a path leads nowhere. */
export function withEdits(value: unknown, edits: readonly KeyEdit[]): unknown {
  const root = { value: unshared(value) }
  for (const { path, value: next } of edits) {
    const steps = ['value', ...path]
    const last = steps.pop() as string | number
    const parent = steps.reduce<unknown>((here, step) => (isNested(here) ? own(here, step) : undefined), root)
    if (!isNested(parent)) throw new RangeError(`no parent of ${path.join('.')} to edit`)
    if (next !== undefined) parent[last] = unshared(next)
    else if (Array.isArray(parent)) parent.splice(Number(last), 1)
    else delete parent[last]
  }
  return root.value
}

type Nested = Record<string | number, unknown>

const isNested = (value: unknown): value is Nested => typeof value === 'object' && value !== null
const isMapping = (value: unknown): value is Record<string, unknown> => isNested(value) && !Array.isArray(value)
const own = (value: Nested, step: string | number): unknown => (Object.hasOwn(value, step) ? value[step] : undefined)

/** A copy in which nothing stands twice: repeated anchors are one object in parsed YAML. */
function unshared(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(unshared)
  if (!isMapping(value)) return value
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, unshared(item)]))
}
