import { isDeepStrictEqual } from 'node:util'
import type { KeyChange } from '../../../shared/schemas/config-write.ts'
import type { ConfigPath } from '../finding.ts'
import { property, valueAt } from '../json-schema.ts'
import { withoutSecrets } from '../secrets.ts'
import { list, pathWords } from '../words.ts'
import { keyEdits } from './key-edits.ts'

/** More than anybody reads; an edit by hand may be a whole new file. */
const MOST = 200

/** What one config says differently from another, key by key, both as plain data. Items are told apart by their id. */
export function changedKeys(before: unknown, after: unknown): KeyChange[] {
  const tops = new Set([...keysOf(before), ...keysOf(after)])
  const changes = [...tops].flatMap((top) => {
    const [was, is] = [valueAt(before, [top]), valueAt(after, [top])]
    return identified(was) && identified(is) ? changedItems(top, was, is) : plainChanges([top], before, after)
  })
  return changes.slice(0, MOST)
}

type Item = { readonly id: string }

function changedItems(top: string, before: readonly Item[], after: readonly Item[]): KeyChange[] {
  const ids = [...new Set([...before, ...after].map(({ id }) => id))]
  return ids.flatMap((id) => {
    const was = before.find((item) => item.id === id)
    const is = after.find((item) => item.id === id)
    // One item at a place of its own, so that its id and not its place is named.
    return plainChanges([top, 0], { [top]: [was] }, { [top]: [is] })
  })
}

function plainChanges(path: ConfigPath, before: unknown, after: unknown): KeyChange[] {
  const [was, is] = [valueAt(before, path), valueAt(after, path)]
  return keyEdits(was, is, path).map((edit) => {
    const [from, to] = [before, after].map((whole) => withoutSecrets(valueAt(whole, edit.path), edit.path))
    const named = is === undefined ? before : after
    return {
      key: pathWords(edit.path, named),
      ...(from === undefined ? {} : { before: from }),
      ...(to === undefined ? {} : { after: to }),
    }
  })
}

/** What changed, in a sentence of at most three keys. */
export function changeWords(changes: readonly KeyChange[]): string {
  if (changes.length === 0) return 'Comments or spacing changed; what the file says did not.'
  const named = changes.slice(0, 3).map(({ key, before, after }) => {
    if (before === undefined) return `${key} is new`
    if (after === undefined) return `${key} is gone`
    return `${key} ${short(before)} → ${short(after)}`
  })
  const more = changes.length - named.length
  return `${list(more > 0 ? [...named, `${more} more`] : named, 'and')}.`
}

function short(value: unknown): string {
  if (typeof value === 'object' && value !== null) return Array.isArray(value) ? `a list of ${value.length}` : 'a block'
  const text = String(value)
  return text.length > 40 ? `${text.slice(0, 39)}…` : text
}

function identified(value: unknown): value is readonly Item[] {
  if (!Array.isArray(value)) return false
  const ids = value.map((item: unknown) => property(item, 'id'))
  return ids.every((id) => typeof id === 'string') && isDeepStrictEqual(ids, [...new Set(ids)])
}

const keysOf = (value: unknown): string[] =>
  typeof value === 'object' && value !== null && !Array.isArray(value) ? Object.keys(value) : []
